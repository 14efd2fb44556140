"""What is ordered once is not ordered again, what comes back is used, and every stock line adds up."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger_kit import (
    BAR,
    BOOK,
    CABLE,
    DOUBT,
    FEET,
    FELT,
    GLUE,
    HELD,
    bought,
    check_sums,
    contents,
    cut,
    entered,
    on_hand,
    piano,
    rows,
    shelf,
    shop_book,
)
from railwright.book.default_catalogue import default_shop_book
from railwright.book.model import StockLine
from railwright.ledger.connection import LedgerTrouble, opened, transaction
from railwright.ledger.orders import CannotBe, cancel, delivered, not_coming, resume, withdraw


@pytest.fixture
def ledger(tmp_path):
    with opened(tmp_path / "l") as connection:
        yield connection
        check_sums(connection)


def tell(connection, told, *what):
    with transaction(connection):
        return told(connection, *what)


def test_what_was_ordered_is_on_the_way_and_is_not_bought_again(ledger):
    assert bought(entered(ledger, piano("R-1", feet=12))) == {"HF-30": 20}
    assert shelf(ledger, "HF-30") == [(0, "", 0, 12, 20)]
    second = entered(ledger, piano("R-1", feet=12), piano("R-2", feet=8))
    assert bought(second) == {}
    assert second.ledger.notes == ("Counted as on hand and used, but still on the way from earlier orders: 8 HF-30.",)
    assert bought(entered(ledger, piano("R-3", feet=1))) == {"HF-30": 20}


def test_a_delivery_is_on_the_shelf_but_for_what_is_promised(ledger):
    entered(ledger, piano("R-1", feet=12))
    tell(ledger, delivered, [1], {"hf-30": 15})
    assert shelf(ledger, "HF-30") == [(0, "", 3, 0, 5)]
    tell(ledger, delivered, [1], {})
    assert shelf(ledger, "HF-30") == [(0, "", 8, 0, 0)]
    for amounts in ({}, {"HF-30": 1}, {"RC-S08": None}):
        with pytest.raises(CannotBe, match="still to come"):
            tell(ledger, delivered, [1], amounts)


def test_rests_of_the_last_plan_are_cut_before_anything_is_bought(ledger):
    first = entered(ledger, piano("R-1", 600.0))
    assert bought(first) == {"RC-S08": 1}
    assert shelf(ledger, "RC-S08") == [(1398.4, "R1", 1, 0, 0), (2000, "", 0, 1, 1)]
    second = entered(ledger, piano("R-2", 500.0, 700.0))
    assert bought(second) == {} and cut(second) == ["R-2/1", "R-2/2"]
    (use,) = second.cutting[0].plan.bars
    assert (use.stock.length, use.stock.rack) == (13984, "R1")
    assert shelf(ledger, "RC-S08") == [(195.2, "R3", 1, 0, 0), (2000, "", 0, 1, 1)]


def test_a_survey_to_confirm_is_ordered_once_it_is_made(ledger):
    doubtful = piano("R-1", 600.0, findings=(DOUBT,))
    assert cut(entered(ledger, doubtful)) == []
    assert cut(entered(ledger, doubtful, include_confirm=True)) == ["R-1/1"]
    assert cut(entered(ledger, doubtful, include_confirm=True)) == []


def test_a_changed_survey_orders_the_difference_and_gives_back_the_rest(ledger):
    entered(ledger, piano("R-1", 600.0, 300.0, feet=5))
    week = entered(ledger, piano("R-1", 600.0, 280.0, feet=7, s1_span=301.0))
    assert cut(week) == ["R-1/2"]
    assert [(line.item, line.need) for line in week.order if line.item == "HF-30"] == [("HF-30", 2)]
    # the piece of 300 mm came back and the one of 280 mm was cut from it
    assert week.cutting[0].plan.bars[0].stock.rack == "piece R-1/2"
    assert week.instruments[0].added is not None
    fewer = entered(ledger, piano("R-1", 600.0, 280.0, feet=1, s1_span=302.0))
    assert fewer.order == () and not fewer.instruments[0].made
    assert shelf(ledger, "HF-30") == [(0, "", 0, 1, 20)]
    assert cut(entered(ledger, piano("R-1", 600.0, 280.0, feet=1, s1_span=302.0))) == []


def test_cable_cannot_be_joined_so_a_longer_piece_is_needed_whole(ledger):
    def needed(cable, span):
        week = entered(ledger, piano("R-1", cable=cable, s1_span=span))
        return [line.need for line in week.order if line.item == "HC-01"]

    assert needed(1500.0, 300.0) == [1500]
    assert needed(1400.0, 301.0) == []
    assert needed(1600.0, 302.0) == [1600]


def test_readings_that_change_nothing_for_the_shop_order_nothing(ledger):
    entered(ledger, piano("R-1", 600.0, feet=5))
    week = entered(ledger, piano("R-1", 600.0, feet=5, remarks="ring first"))
    assert week.order == () and cut(week) == []
    assert week.instruments[0].standing.changed_kit
    assert entered(ledger, piano("R-1", 600.0, feet=5, remarks="ring first")).instruments[0].standing.ordered


def test_a_superseding_survey_on_hold_leaves_the_order_as_it_is(ledger):
    entered(ledger, piano("R-1", 600.0, feet=5))
    entered(ledger, piano("R-1", feet=0, s1_span=None, findings=(HELD,)))
    assert rows(ledger, "SELECT order_no, survey_id FROM current_kit") == [("R-1", 1)]
    assert cut(entered(ledger, piano("R-1", 610.0, feet=5, s1_span=305.0))) == ["R-1/1"]


def test_a_cancelled_order_gives_back_and_is_made_no_more_until_it_is_taken_up(ledger):
    one = piano("R-1", 600.0, feet=12, cable=900.0, glue=7.5)
    entered(ledger, one)
    assert tell(ledger, cancel, ["r-1"]) == [
        "Order r-1 is cancelled. Back on the shelf: 7 g of HA-01, 12 HF-30, RC-S08, offcut 600 mm (piece R-1/1)."
    ]
    assert shelf(ledger, "HF-30") == [(0, "", 0, 0, 20)]
    assert (600, "piece R-1/1", 1, 0, 0) in shelf(ledger, "RC-S08")
    week = entered(ledger, one)
    assert cut(week) == [] and week.instruments[0].standing.cancelled
    with pytest.raises(CannotBe, match="cancelled already"):
        tell(ledger, cancel, ["R-1"])
    tell(ledger, resume, ["R-1"])
    week = entered(ledger, one)
    assert cut(week) == ["R-1/1"] and bought(week) == {}
    assert week.cutting[0].plan.bars[0].stock.rack == "piece R-1/1"


def test_an_unknown_order_or_run_is_a_sentence_and_changes_nothing(ledger):
    entered(ledger, piano("R-1", feet=3))
    before = contents(ledger)
    for told, what in ((cancel, (["R-1", "R-9"],)), (resume, (["R-1"],)), (delivered, ([7], {})), (withdraw, (7,))):
        with pytest.raises(CannotBe):
            tell(ledger, told, *what)
    assert contents(ledger) == before


def test_what_instruments_count_on_cannot_be_struck_out_the_rest_can(ledger):
    entered(ledger, piano("R-1", feet=12))
    with pytest.raises(CannotBe, match="all but 8 are promised"):
        tell(ledger, not_coming, [1], {"HF-30": 9})
    tell(ledger, not_coming, [1], {"HF-30": 8})
    assert shelf(ledger, "HF-30") == [(0, "", 0, 12, 12)]
    assert bought(entered(ledger, piano("R-2", feet=1))) == {"HF-30": 20}


def test_the_last_run_can_be_taken_back_and_no_other(ledger):
    entered(ledger, piano("R-1", feet=12))
    before = contents(ledger)
    entered(ledger, piano("R-2", 600.0, feet=12))
    with pytest.raises(CannotBe, match="only the last one"):
        tell(ledger, withdraw, 1)
    tell(ledger, withdraw, 2)
    assert contents(ledger) == before
    assert cut(entered(ledger, piano("R-2", 600.0, feet=12))) == ["R-2/1"]


def test_a_piece_without_stock_is_cut_when_there_is_some(ledger):
    long = piano("R-1", 600.0, 2500.0, feet=3)
    assert cut(entered(ledger, long)) == ["R-1/1"]
    before = contents(ledger)
    assert cut(entered(ledger, long)) == [] and contents(ledger) == before
    longer = shop_book(replace(BAR, length_mm=Decimal(3000)), BAR, FELT, FEET, CABLE, GLUE)
    assert cut(entered(ledger, long, book=longer)) == ["R-1/2"]


def test_parts_that_could_not_be_bought_are_ordered_when_they_can(ledger):
    no_price = shop_book(BAR, FELT, on_hand(replace(FEET, price=None), 4), CABLE, GLUE)
    entered(ledger, piano("R-1", feet=3), piano("R-2", feet=3), book=no_price)
    assert rows(
        ledger, "SELECT k.order_no, quantity, complete FROM kit_part JOIN kit k ON k.id = kit_id ORDER BY 1"
    ) == [
        ("R-1", "3", 1),
        ("R-2", "1", 0),
    ]
    priced = shop_book(BAR, FELT, on_hand(FEET, 4), CABLE, GLUE)
    week = entered(ledger, piano("R-1", feet=3), piano("R-2", feet=3), book=priced)
    assert [(line.need, line.buy) for line in week.order] == [(2, 20)]


# The shop book's stock and the ledger's


def test_the_shop_books_figure_starts_the_shelf_and_counts_no_more(ledger):
    book = shop_book(on_hand(BAR, 2), FELT, on_hand(FEET, 30), CABLE, GLUE)
    entered(ledger, piano("R-1", 600.0, feet=12), book=book)
    entered(ledger, piano("R-2", feet=12), book=book)
    assert shelf(ledger, "HF-30") == [(0, "", 6, 0, 0)]


def test_a_figure_that_was_changed_in_the_shop_book_is_a_stock_take_and_is_told(ledger):
    entered(ledger, piano("R-1", feet=12), book=shop_book(on_hand(FEET, 30), BAR, FELT))
    week = entered(ledger, piano("R-2", feet=1), book=shop_book(on_hand(FEET, 25), BAR, FELT))
    assert week.ledger.notes == (
        "HF-30: the shop book's figure was changed to 25, so that is a stock-take; the ledger had 18 on the shelf.",
    )
    assert shelf(ledger, "HF-30") == [(0, "", 24, 0, 0)]
    assert entered(ledger, piano("R-3", feet=1), book=shop_book(on_hand(FEET, 25), BAR, FELT)).ledger.notes == ()


def test_a_stock_take_leaves_alone_what_is_promised_and_on_the_way(ledger):
    entered(ledger, piano("R-1", feet=12))
    entered(ledger, book=shop_book(BAR, FELT, on_hand(FEET, 3), CABLE, GLUE))
    assert (
        bought(entered(ledger, piano("R-2", feet=11), book=shop_book(BAR, FELT, on_hand(FEET, 3), CABLE, GLUE))) == {}
    )


def test_the_sheet_of_stock_after_put_into_the_shop_book_is_no_stock_take(ledger):
    from railwright.shop.stock_after import stock_after

    week = entered(ledger, piano("R-1", 600.0, feet=12, cable=900.0))
    before = rows(ledger, "SELECT * FROM movement")
    after = stock_after(week.book, week.cutting, week.order)
    second = entered(ledger, piano("R-2", 300.0, feet=1), book=replace(BOOK, stock=after.lines))
    assert second.ledger.notes == ("Counted as on hand and used, but still on the way from earlier orders: 1 HF-30.",)
    assert rows(ledger, "SELECT * FROM movement")[: len(before)] == before
    assert rows(ledger, "SELECT count(*) FROM movement WHERE kind = 'counted' AND entry_id = 2") == [(0,)]
    assert bought(second) == {}


def test_an_offcut_used_up_is_gone_though_the_shop_book_still_has_it(ledger):
    offcut = StockLine("RC-S08", Decimal(620), Decimal(0), "bar", 1, None, 1, offcut=True, rack="B2")
    book = shop_book(BAR, offcut, FELT, FEET)
    assert bought(entered(ledger, piano("R-1", 600.0), book=book)) == {}
    week = entered(ledger, piano("R-2", 600.0), book=book)
    assert bought(week) == {"RC-S08": 1}
    assert not any(line.rack == "B2" for line in week.book.stock)


def test_a_line_taken_out_of_the_shop_book_is_counted_as_none(ledger):
    entered(ledger, piano("R-1", feet=2), book=shop_book(on_hand(FEET, 30), BAR, FELT))
    week = entered(ledger, piano("R-2"), book=shop_book(BAR, FELT))
    assert week.ledger.notes == (
        "HF-30: its line is gone from the shop book, so that is a stock-take; the ledger had 28 on the shelf.",
    )


def test_the_default_shop_book_is_refused_where_the_shop_has_its_own(ledger):
    entered(ledger, piano("R-1", feet=2))
    with pytest.raises(LedgerTrouble, match="last used with the shop book bench"):
        entered(ledger, piano("R-2"), book=default_shop_book())
    assert rows(ledger, "SELECT count(*) FROM entry") == [(1,)]


# Whatever happens

orders = st.sampled_from(["A", "B", "C"])
lengths = st.lists(st.sampled_from([150.0, 299.5, 610.0, 1390.0]), max_size=3)
surveyed = st.tuples(st.just("survey"), orders, lengths, st.integers(0, 30), st.integers(0, 2))
told = st.tuples(st.sampled_from(["deliver", "cancel", "resume", "strike", "withdraw"]), orders, st.integers(1, 25))
counted = st.tuples(st.just("count"), st.integers(0, 40), st.integers(0, 3))


@settings(max_examples=20, deadline=None)
@given(events=st.lists(st.one_of(surveyed, surveyed, told, counted), max_size=9))
def test_no_item_is_lost_or_doubled_whatever_happens(events):
    """Before and delivered, counted, kept and given back are used or there after; a kit is ordered for once."""
    book = BOOK
    with tempfile.TemporaryDirectory() as place, opened(Path(place) / "l") as ledger:
        for event in events:
            book = _happens(ledger, book, event)
            check_sums(ledger)
        (needs,) = rows(
            ledger,
            "SELECT sum(quantity) FROM kit_part p JOIN current_kit k ON k.id = kit_id WHERE item = 'HF-30'",
        )
        (out,) = rows(
            ledger,
            "SELECT -sum(change) FROM movement JOIN stock s ON s.id = stock_id "
            "WHERE item = 'HF-30' AND kind IN ('used', 'returned')",
        )
        assert (out[0] or 0) == (needs[0] or 0), "what left the shelf is in the kits that count, no more and no less"
        uncut = (
            "SELECT * FROM kit_piece p JOIN current_kit k ON k.id = p.kit_id WHERE NOT EXISTS (SELECT 1 FROM piece c "
        )
        uncut += "WHERE c.label = k.order_no || '/' || p.section AND (c.length, c.width) = (p.length, p.width))"
        assert rows(ledger, uncut) == [], "every piece of a kit that counts was cut"


def _happens(ledger, book, event):
    kind, *what = event
    if kind == "count":
        feet, bars = what
        return shop_book(on_hand(BAR, bars), FELT, on_hand(FEET, feet), CABLE, GLUE)
    if kind == "survey":
        order, some, feet, version = what
        entered(ledger, piano(order, *some, feet=feet, s1_span=300.0 + version), book=book)
        return book
    order, number = what
    runs = [row[0] for row in rows(ledger, "SELECT id FROM entry WHERE kind = 'week'")]
    calls = {
        "deliver": lambda: delivered(ledger, runs, {"HF-30": number}),
        "strike": lambda: not_coming(ledger, runs, {"HF-30": number}),
        "cancel": lambda: cancel(ledger, [order]),
        "resume": lambda: resume(ledger, [order]),
        "withdraw": lambda: withdraw(ledger, max(runs, default=0)),
    }
    before = contents(ledger)
    try:
        with transaction(ledger):
            calls[kind]()
    except CannotBe:
        assert contents(ledger) == before
    return book
