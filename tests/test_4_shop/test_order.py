"""What is ordered: the sum of all needs, less the shelf, in whole packs; bars and felt from the cutting plan."""

import random
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from railwright.book.default_catalogue import default_shop_book
from railwright.book.model import ShopBook, StockLine
from railwright.computing.results import CarrierCut, FeltCut, InstrumentResult, Part, SectionResult, Station
from railwright.shop.order import order_lines
from railwright.shop.order_model import InstrumentNeed
from railwright.shop.planning import cutting_sheets
from railwright.shop.price_views import purchase_cost


def stock(*lines: StockLine) -> ShopBook:
    return replace(default_shop_book(), stock=lines)


def pack(item: str, size: int, price: str | None, on_hand: int = 0) -> StockLine:
    return StockLine(item, Decimal(0), Decimal(0), "pieces", size, Decimal(price) if price else None, on_hand)


def bar(length: str, price: str | None, on_hand: int = 0, offcut: bool = False) -> StockLine:
    return StockLine(
        "RC-S08", Decimal(length), Decimal(0), "bar", 1, Decimal(price) if price else None, on_hand, offcut
    )


def need(order: str, *parts: Part, by: date | None = None) -> InstrumentNeed:
    return InstrumentNeed(order, "hall", by, parts)


def feet(count: int) -> Part:
    return Part("HF-30", count, "pieces")


@pytest.mark.parametrize(
    ("wanted", "on_hand", "packs"),
    [(37, 0, 4), (40, 0, 4), (41, 0, 5), (40, 1, 4), (40, 40, 0), (40, 39, 1), (40, 30, 1)],
)
def test_whole_packs_cover_what_the_shelf_does_not(wanted, on_hand, packs):
    (line,), notes = order_lines([need("A", feet(wanted))], [], stock(pack("HF-30", 10, "15.00", on_hand)))
    assert (line.packs, line.buy, line.cost) == (packs, packs * 10, packs * Decimal(15))
    assert (line.need, line.on_hand, notes) == (wanted, on_hand, ())


def test_needs_of_all_instruments_are_one_line_with_who_and_by_when():
    needs = [need("B-2", feet(4), by=date(2031, 5, 3)), need("A-1", feet(5), by=date(2031, 4, 9)), need("C", feet(1))]
    (line,), _ = order_lines(needs, [], stock(pack("HF-30", 20, "15.00")))
    assert (line.need, line.orders, line.needed_by) == (10, ("A-1", "B-2", "C"), date(2031, 4, 9))


def test_the_cheaper_of_two_packs_is_bought():
    (line,), _ = order_lines([need("A", feet(9))], [], stock(pack("HF-30", 5, "6.00"), pack("HF-30", 20, "11.00")))
    assert (line.pack, line.packs, line.cost) == (20, 1, Decimal(11))


def test_an_item_without_a_price_is_said_aloud():
    (line,), notes = order_lines([need("A", feet(9))], [], stock(pack("HF-30", 5, None, 2)))
    assert (line.cost, line.buy) == (None, 0)
    assert notes == ("HF-30: the shop book names no price to buy it at; 7 pieces are missing.",)


def test_an_item_without_a_price_that_the_shelf_covers_is_no_trouble():
    _, notes = order_lines([need("A", feet(2))], [], stock(pack("HF-30", 5, None, 2)))
    assert notes == ()


def test_an_item_with_no_stock_line_at_all_says_so():
    (line,), notes = order_lines([need("A", feet(9))], [], stock(pack("HF-10", 5, "1.00")))
    assert (line.cost, line.buy, line.missing) == (None, 0, 9)
    assert notes == (
        "HF-30: the shop book's Stock sheet has no line for it, so it can be neither used nor bought; 9 are missing.",
    )


@pytest.mark.parametrize(
    ("price", "told"), [("0", ("HF-30: its price in the shop book is 0, so it is ordered at no cost.",)), ("0.01", ())]
)
def test_a_price_of_nothing_is_said_aloud(price, told):
    (line,), notes = order_lines([need("A", feet(9))], [], stock(pack("HF-30", 10, price)))
    assert (line.packs, line.cost, notes) == (1, Decimal(price), told)


def test_prices_below_a_cent_add_up_exactly():
    (line,), _ = order_lines([need("A", feet(999))], [], stock(pack("HF-30", 1, "0.0125")))
    assert line.cost == Decimal("12.4875")


@pytest.mark.parametrize(("wanted", "packs", "cost"), [(80, 8, 80), (81, 10, 80), (101, 11, 88)])
def test_a_price_break_is_taken_where_it_costs_less_together(wanted, packs, cost):
    line = replace(pack("HF-30", 10, "10.00"), break_packs=10, break_price=Decimal(8))
    (got,), notes = order_lines([need("A", feet(wanted))], [], stock(line))
    assert (got.packs, got.buy, got.cost) == (packs, packs * 10, cost)
    told = ("HF-30: 10 packs are bought where 9 would do: from 10 on they cost less together.",)
    assert notes == (told if wanted == 81 else ())


@pytest.mark.parametrize(("wanted", "packs"), [(0, 0), (1, 3), (30, 3), (31, 4)])
def test_fewer_than_the_least_packs_are_not_sold(wanted, packs):
    (got,), notes = order_lines([need("A", feet(wanted))], [], stock(replace(pack("HF-30", 10, "1.00"), least_packs=3)))
    assert got.packs == packs
    told = ("HF-30: 3 packs are bought where 1 would do: fewer are not sold.",)
    assert notes == (told if wanted == 1 else ())


def alike(*lines: StockLine) -> ShopBook:
    return stock(*(replace(line, same_as="low foot") for line in lines))


def test_the_cheapest_of_items_that_serve_alike_is_bought_and_said_for_which():
    book = alike(pack("HF-30", 10, "15.00", 2), pack("HF-10", 10, "14.00"))
    (line,), notes = order_lines([need("A", feet(9))], [], book)
    assert (line.item, line.buy_item, line.need, line.on_hand, line.buy, line.cost) == (
        "HF-30", "HF-10", 9, 2, 10, Decimal(14),
    )  # fmt: skip
    assert notes == ("HF-10 is bought for HF-30: they serve alike and it costs less so.",)


def test_at_the_same_price_the_needed_item_itself_is_bought():
    (line,), _ = order_lines([need("A", feet(9))], [], alike(pack("HF-10", 10, "14.00"), pack("HF-30", 10, "14.00")))
    assert (line.item, line.buy_item) == ("HF-30", "HF-30")


def test_what_lies_on_the_shelf_of_all_that_serve_alike_counts():
    book = alike(pack("HF-30", 10, "15.00", 2), pack("HF-10", 10, "14.00", 7))
    (line,), notes = order_lines([need("A", feet(9))], [], book)
    assert (line.on_hand, line.buy, line.used) == (9, 0, 9)
    assert notes == ("HF-30: 7 of HF-10 on the shelf count as on hand; they serve alike.",)


def test_needs_of_items_that_serve_alike_are_one_line():
    book = alike(pack("HF-30", 10, "15.00"), pack("HF-10", 10, "14.00"))
    (line,), _ = order_lines([need("A", feet(4)), need("B", Part("HF-10", 7, "pieces"))], [], book)
    assert (line.item, line.need, line.buy, line.orders) == ("HF-10", 11, 20, ("A", "B"))


def test_the_same_words_on_other_items_are_another_specification():
    book = stock(replace(pack("HF-30", 10, "15.00"), same_as="a"), replace(pack("HF-10", 10, "1.00", 90), same_as="b"))
    (line,), _ = order_lines([need("A", feet(9))], [], book)
    assert (line.buy_item, line.on_hand) == ("HF-30", 0)


def test_needs_run_up_day_by_day_and_those_without_a_day_come_last():
    first, second = date(2031, 4, 9), date(2031, 5, 3)
    needs = [
        need("C", feet(1)),
        need("B", feet(4), by=second),
        need("A", feet(5), by=first),
        need("D", feet(2), by=first),
    ]
    (line,), _ = order_lines(needs, [], stock(pack("HF-30", 20, "15.00")))
    assert [(day.day, day.quantity, day.orders) for day in line.by_day] == [
        (first, 7, ("A", "D")), (second, 4, ("B",)), (None, 1, ("C",)),
    ]  # fmt: skip
    assert line.needed_by == first


def segment(length_mm: float) -> InstrumentResult:
    carrier = CarrierCut("RC-S08", length_mm, length_mm, 0.0, "square", 0.0, length_mm, 8.0, 8.0)
    felt = FeltCut("FE-30", length_mm, 8.0, 3.0)
    return InstrumentResult(
        (SectionResult(1, "bass", 1, 20, carrier=carrier, felt=felt, stations=(Station(1, 0, 0),)),)
    )


def bars_for(lengths: list[float], book: ShopBook):
    made = [(f"O{number}", segment(length)) for number, length in enumerate(lengths)]
    needs = [need(order, Part("RC-S08", length, "mm")) for (order, _), length in zip(made, lengths, strict=True)]
    sheets = [sheet for sheet in cutting_sheets(made, book) if sheet.kind == "bar"]
    lines, notes = order_lines(needs, sheets, book)
    return {line.name: (line.need, line.on_hand, line.buy, line.cost) for line in lines}, notes


def test_bars_come_from_the_plan_not_from_a_sum_of_lengths():
    # three pieces of 600 sum to 1800, yet with the saw's cut only one fits a bar of 1000
    lines, _ = bars_for([600.0] * 3, stock(bar("1000", "5.00")))
    assert lines == {"square tube 8 x 8 x 1, aluminium, bar 1000 mm": (3, 0, 3, Decimal(15))}


def test_a_bar_on_the_shelf_is_not_bought():
    lines, _ = bars_for([600.0] * 3, stock(bar("1000", "5.00", on_hand=2)))
    assert lines == {"square tube 8 x 8 x 1, aluminium, bar 1000 mm": (3, 2, 1, Decimal(5))}


def test_an_offcut_is_used_first_and_ordered_by_nobody():
    lines, _ = bars_for([600.0, 300.0], stock(bar("1000", "5.00"), bar("305", None, 1, offcut=True)))
    assert lines == {"square tube 8 x 8 x 1, aluminium, bar 1000 mm": (1, 0, 1, Decimal(5))}


@pytest.mark.parametrize(("pieces", "packs", "spare"), [(3, 1, 1), (4, 1, 0), (5, 2, 3)])
def test_bars_sold_in_bundles_are_bought_whole(pieces, packs, spare):
    lines, notes = bars_for([600.0] * pieces, stock(replace(bar("1000", "20.00"), pack=4)))
    assert lines == {"square tube 8 x 8 x 1, aluminium, bar 1000 mm": (pieces, 0, packs * 4, packs * Decimal(20))}
    told = (
        f"RC-S08, 1000 mm: {spare} of the {packs * 4} bought stay on the shelf uncut (a pack holds 4). "
        "The cutting plan counts each at its share of a pack's price; its proof is of that cost.",
    )
    assert notes == (told if spare else ())


def test_a_break_and_the_least_packs_of_bars_hold():
    line = replace(bar("1000", "5.00"), break_packs=4, break_price=Decimal("3.50"))
    lines, notes = bars_for([600.0] * 3, stock(line))
    assert [*lines.values()] == [(3, 0, 4, Decimal(14))]
    assert "(4 packs are bought where 3 would do: from 4 on they cost less together)" in notes[0]
    lines, _ = bars_for([600.0], stock(replace(bar("1000", "5.00"), least_packs=2)))
    assert [*lines.values()] == [(1, 0, 2, Decimal(10))]


def test_a_break_decides_which_length_is_bought():
    """Four pieces of 900: two bars of 2000 cost 16.00, four of 1000 usually 20.00, but from the break on 12.00."""
    short = replace(bar("1000", "5.00"), break_packs=4, break_price=Decimal("3.00"))
    lines, notes = bars_for([900.0] * 4, stock(short, bar("2000", "8.00")))
    assert [*lines.values()] == [(4, 0, 4, Decimal(12))]
    assert notes == ()
    lines, _ = bars_for([900.0] * 3, stock(short, replace(bar("2000", "8.00"), least_packs=3)))
    assert [*lines.values()] == [(3, 0, 4, Decimal(12))]


def test_a_bundle_that_is_hardly_used_is_not_bought():
    """One piece: a share of the bundle is cheaper than the single bar, the whole bundle is not."""
    bundle = replace(bar("1000", "16.00"), pack=8)
    lines, _ = bars_for([600.0], stock(bundle, bar("1200", "4.00")))
    assert lines == {"square tube 8 x 8 x 1, aluminium, bar 1200 mm": (1, 0, 1, Decimal(4))}


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000))
def test_no_plan_tried_undercuts_the_purchase(seed):
    """However packs, breaks and least numbers fall, the usual prices and the break prices alone never buy cheaper."""
    rng = random.Random(seed)
    lines = [_odd_line(rng, length) for length in ("1000", "1300")]
    made = [("O", segment(float(rng.randint(100, 1000)))) for _ in range(rng.randint(1, 6))]
    book = stock(*lines)
    (chosen,) = [sheet for sheet in cutting_sheets(made, book) if sheet.kind == "bar"]
    assert chosen.faults == ()
    for line in lines:
        (alone,) = [sheet for sheet in cutting_sheets(made, stock(line)) if sheet.kind == "bar"]
        assert purchase_cost(chosen, book) <= purchase_cost(alone, stock(line))
    needs = [need("O")]
    ordered, _ = order_lines(needs, [chosen], book)
    assert sum(line.cost for line in ordered) == purchase_cost(chosen, book)


def _odd_line(rng, length):
    price = rng.randint(300, 900)
    line = replace(bar(length, f"{price / 100:.2f}"), pack=rng.choice([1, 1, 4]), least_packs=rng.choice([None, 2]))
    cheaper = Decimal(price - rng.randint(50, 250)) / 100
    return rng.choice([line, replace(line, break_packs=3, break_price=cheaper)])


def test_bars_are_wanted_by_the_earliest_day_of_the_pieces_on_them():
    early, late = date(2031, 4, 9), date(2031, 5, 3)
    book = stock(bar("1000", "5.00"))
    made = [("A/1", segment(600.0)), ("B", segment(300.0)), ("C", segment(700.0))]
    needs = [need("A/1", by=late), need("B", by=early), need("C")]
    sheets = [sheet for sheet in cutting_sheets(made, book) if sheet.kind == "bar"]
    (line,), _ = order_lines(needs, sheets, book)
    assert line.orders == ("A/1", "B", "C")
    by_day = {day.day: (day.quantity, day.orders) for day in line.by_day}
    # 300 lies with 600 or with 700; that bar is wanted early
    (shared,) = [orders for day, (_, orders) in by_day.items() if day == early]
    assert by_day[early][0] == 1 and "B" in shared and len(shared) == 2
    assert sum(quantity for quantity, _ in by_day.values()) == line.need == 2


def test_a_piece_longer_than_any_bar_is_said_aloud():
    lines, notes = bars_for([1000.0, 1000.1], stock(bar("1000", "5.00")))
    assert lines == {"square tube 8 x 8 x 1, aluminium, bar 1000 mm": (1, 0, 1, Decimal(5))}
    assert notes == (
        "RC-S08: no stock for piece O1/1 of 1000.1 mm. Add stock to the shop book; the piece is in no plan.",
    )


def cables(lengths: list[str], reel: int, on_hand: int = 0):
    book = stock(StockLine("HC-01", Decimal(0), Decimal(0), "mm", reel, Decimal("18.00"), on_hand))
    needs = [need(f"O{n}", Part("HC-01", float(length), "mm")) for n, length in enumerate(lengths)]
    (line,), notes = order_lines(needs, [], book)
    return line, notes


def test_cables_are_cut_in_one_so_a_sum_of_lengths_does_not_buy_them():
    # twelve of 1700 sum to 20.4 m, but a reel of 10 m yields five and the half metre on the shelf none
    line, notes = cables(["1700"] * 12, 10_000, on_hand=500)
    assert (line.need, line.packs, line.buy, line.cost) == (20_400, 3, 30_000, Decimal(54))
    assert notes == ("HC-01: 3 packs are bought where the sum of lengths asks for 2: every piece is cut in one.",)
    # five, five and two of a reel: 6.6 m is the longest rest
    assert line.on_hand + line.buy - line.used == 6_600


def test_cables_that_the_shelf_covers_are_not_bought():
    line, notes = cables(["800", "700"], 10_000, on_hand=1600)
    assert (line.packs, line.used, notes) == (0, 1500, ())


def test_a_cable_longer_than_a_reel_is_left_to_the_sum():
    line, _ = cables(["12000"], 10_000)
    assert line.packs == 2
