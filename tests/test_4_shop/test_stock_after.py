"""The shelf after a week: nothing appears, nothing vanishes, and the next week can start from it."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from railwright.book.default_catalogue import default_shop_book
from railwright.book.model import ShopBook, StockLine
from railwright.computing.results import CarrierCut, FeltCut, InstrumentResult, Part, SectionResult, Station
from railwright.shop.book_file import read_shop_book, write_shop_book
from railwright.shop.order import order_lines
from railwright.shop.order_model import InstrumentNeed
from railwright.shop.planning import cutting_sheets
from railwright.shop.remnants import Rest, rack_labels
from railwright.shop.stock_after import StockAfter, stock_after


def book_with(*lines: StockLine, **rules: float) -> ShopBook:
    book = default_shop_book()
    return replace(book, name="north bench", stock=lines, rules={**book.rules, "bar_trim": 0.0, **rules})


def bar(length: str, price: str | None, on_hand: int = 0, rack: str = "", pack: int = 1, **more: object) -> StockLine:
    money = Decimal(price) if price else None
    line = StockLine("RC-S08", Decimal(length), Decimal(0), "bar", pack, money, on_hand, bool(rack), rack)
    return replace(line, **more)  # type: ignore[arg-type]


def sheet(length: str, width: str, price: str | None, on_hand: int = 0, rack: str = "") -> StockLine:
    money = Decimal(price) if price else None
    return StockLine("FE-30", Decimal(length), Decimal(width), "sheet", 1, money, on_hand, bool(rack), rack)


def pack(item: str, size: int, price: str | None, on_hand: int = 0, unit: str = "pieces", words: str = "") -> StockLine:
    money = Decimal(price) if price else None
    return StockLine(item, Decimal(0), Decimal(0), unit, size, money, on_hand, same_as=words)


def segment(length_mm: float) -> InstrumentResult:
    carrier = CarrierCut("RC-S08", length_mm, length_mm, 0.0, "square", 0.0, length_mm, 8.0, 8.0)
    felt = FeltCut("FE-30", length_mm, 8.0, 3.0)
    return InstrumentResult(
        (SectionResult(1, "bass", 1, 20, carrier=carrier, felt=felt, stations=(Station(1, 0, 0),)),)
    )


FELT = sheet("1200", "500", "38.00", 50)


def after(book: ShopBook, lengths: list[float], *parts: Part) -> StockAfter:
    """Cut one bar piece and one felt piece a length; all further parts are one instrument's."""
    made = [(f"O{number}", segment(length)) for number, length in enumerate(lengths)]
    needs = [InstrumentNeed(order, "hall", None, (Part("RC-S08", 1.0, "mm"),)) for order, _ in made]
    needs.append(InstrumentNeed("P", "hall", None, parts))
    cutting = cutting_sheets(made, book)
    return stock_after(book, cutting, order_lines(needs, cutting, book)[0])


def moved(shelf: StockAfter, item: str) -> list[tuple[int, int, int, int]]:
    return [(m.before, m.bought, m.used, m.after) for m in shelf.movements if m.line.item == item]


def offcuts(shelf: StockAfter, item: str = "RC-S08") -> list[tuple[Decimal, int, str]]:
    return [(line.length_mm, line.on_hand, line.rack) for line in shelf.lines if line.offcut and line.item == item]


def test_bars_on_the_shelf_go_first_and_the_rest_is_bought_and_cut() -> None:
    shelf = after(book_with(bar("1000", "5.00", 2), FELT), [600.0] * 3)
    assert moved(shelf, "RC-S08") == [(2, 1, 3, 0)]


def test_what_is_left_of_a_bundle_stays_on_the_shelf() -> None:
    shelf = after(book_with(bar("1000", "30.00", 0, pack=4), FELT), [600.0] * 5)
    assert moved(shelf, "RC-S08") == [(0, 8, 5, 3)]


def test_a_used_up_offcut_is_gone_and_its_neighbour_stays() -> None:
    lines = bar("1000", "5.00"), bar("305", None, 1, "A1"), bar("290", None, 1, "A2"), FELT
    shelf = after(book_with(*lines), [300.0])
    assert moved(shelf, "RC-S08") == [(0, 0, 0, 0), (1, 0, 1, 0), (1, 0, 0, 1)]
    assert offcuts(shelf) == [(Decimal(290), 1, "A2")]


@pytest.mark.parametrize(("length", "kept"), [(848.4, 1), (848.5, 0)])
def test_a_rest_is_kept_from_the_least_length_on(length: float, kept: int) -> None:
    # 1000 less 848.4 less a saw cut of 1.6 leaves 150.0
    shelf = after(book_with(bar("1000", "5.00"), FELT), [length])
    assert offcuts(shelf) == ([(Decimal(150), 1, "R1")] if kept else [])


def test_rests_alike_lie_in_one_rack_and_labels_in_use_are_passed_over() -> None:
    lines = bar("1000", "5.00"), bar("200", None, 1, "r1"), FELT
    shelf = after(book_with(*lines), [800.0, 800.0, 700.0])
    assert offcuts(shelf) == [(Decimal(200), 1, "r1"), (Decimal("198.4"), 2, "R2"), (Decimal("298.4"), 1, "R3")]


@pytest.mark.parametrize(("width", "kept"), [(28.0, 1), (27.9, 0)])
def test_felt_left_over_the_whole_length_is_kept_from_the_least_width_on(width: float, kept: int) -> None:
    # one strip of 8 mm leaves 20.0 or 19.9 of the width; its own end, 400 long, is narrower than what is kept
    shelf = after(book_with(bar("1000", "5.00"), sheet("1000", f"{width}", "9.00")), [600.0])
    felt = [(line.length_mm, line.width_mm, line.unit) for line in shelf.lines if line.offcut and line.item == "FE-30"]
    assert felt == ([(Decimal(1000), Decimal(20), "sheet")] if kept else [])


def test_a_shop_that_keeps_narrow_felt_keeps_the_ends_of_strips_too() -> None:
    book = book_with(bar("1000", "5.00"), sheet("1000", "27.9", "9.00"), felt_keep_width=8.0)
    felt = [(line.length_mm, line.width_mm) for line in after(book, [600.0]).lines if line.item == "FE-30"][1:]
    assert felt == [(Decimal(400), Decimal(8)), (Decimal(1000), Decimal("19.9"))]


def test_packs_are_brought_in_and_the_remainder_stays() -> None:
    shelf = after(book_with(pack("HF-30", 20, "15.00", 3), FELT), [], Part("HF-30", 37, "pieces"))
    assert moved(shelf, "HF-30") == [(3, 40, 37, 6)]


def test_grams_are_used_up_in_whole_ones() -> None:
    shelf = after(book_with(pack("HA-01", 250, "9.00", 10, "g"), FELT), [], Part("HA-01", 12.3, "g"))
    assert moved(shelf, "HA-01") == [(10, 250, 13, 247)]


def test_what_cannot_be_had_is_not_used() -> None:
    shelf = after(book_with(pack("HL-01", 5, None, 2), FELT), [], Part("HL-01", 3, "pieces"))
    assert moved(shelf, "HL-01") == [(2, 0, 2, 0)]


def test_shelves_of_items_that_serve_alike_are_used_up_the_needed_one_first() -> None:
    book = book_with(pack("HW-M2", 100, None, 30, words="M2"), pack("HW-M2B", 50, "3.00", 15, words="M2"), FELT)
    shelf = after(book, [], Part("HW-M2", 80, "pieces"))
    assert moved(shelf, "HW-M2") == [(30, 0, 30, 0)]
    assert moved(shelf, "HW-M2B") == [(15, 50, 50, 15)]


def test_a_week_without_anything_made_leaves_the_shelf_as_it_is() -> None:
    book = default_shop_book()
    assert stock_after(book, (), ()).lines == book.stock


lengths = st.lists(st.integers(500, 9000).map(lambda tenth: tenth / 10), max_size=8)
counts = st.integers(0, 12)


@settings(max_examples=60, deadline=None)
@given(lengths=lengths, shelf=counts, felt=counts, size=st.integers(1, 6), feet=st.integers(0, 90), cut=counts)
def test_on_hand_and_bought_are_used_or_there_after(
    lengths: list[float], shelf: int, felt: int, size: int, feet: int, cut: int
) -> None:
    book = book_with(
        bar("1000", "20.00", shelf, pack=size), bar("640.5", "6.00"), bar("310", None, cut, "B2"),
        sheet("1000", "200", "38.00", felt), pack("HF-30", 20, "15.00", feet % 7), pack("HF-30", 5, "4.00", feet % 3),
    )  # fmt: skip
    result = after(book, lengths, Part("HF-30", feet, "pieces"))
    for movement in result.movements:
        assert movement.before + movement.bought == movement.used + movement.after
        assert min(movement.bought, movement.used, movement.after) >= 0
    used = Counter[str]()
    for movement in result.movements:
        used[movement.line.item] += movement.used
    assert used["HF-30"] == feet
    cutting = cutting_sheets([(f"O{n}", segment(length)) for n, length in enumerate(lengths)], book)
    assert used["RC-S08"] == sum(len(each.plan.bars) for each in cutting if each.kind == "bar")


@settings(max_examples=40, deadline=None)
@given(lengths=lengths, cut=counts)
def test_every_millimetre_of_bar_is_a_piece_a_saw_cut_scrap_or_kept(lengths: list[float], cut: int) -> None:
    book = book_with(bar("1000", "5.00", 3), bar("310", None, cut, "B2"), FELT)
    result = after(book, lengths)
    length = {"before": Decimal(0), "after": Decimal(0)}
    for movement in result.movements:
        if movement.line.item == "RC-S08":
            length["before"] += movement.line.length_mm * (movement.before + movement.bought)
    length["after"] = sum((line.length_mm * line.on_hand for line in result.lines if line.item == "RC-S08"), Decimal(0))
    gone = length["before"] - length["after"]
    pieces = sum(Decimal(str(piece)) for piece in lengths)
    most_scrap = Decimal(150) * sum(m.used for m in result.movements if m.line.item == "RC-S08")
    assert pieces <= gone <= pieces + Decimal("1.6") * len(lengths) + most_scrap


def test_the_next_week_starts_from_what_is_left(tmp_path: Path) -> None:
    book = book_with(bar("1000", "5.00", 1), bar("305", None, 1, "A1"), FELT, *default_shop_book().stock[13:])
    first = after(book, [600.0, 300.0, 120.5], Part("HF-30", 7, "pieces"))
    next_book = replace(book, stock=first.lines)
    write_shop_book(tmp_path / "next.xlsx", next_book)
    assert read_shop_book(tmp_path / "next.xlsx")[0] == next_book
    # 1000 - 601.6 - 122.1 leaves 276.3, which the next week cuts before it buys
    second = after(next_book, [270.0])
    assert offcuts(first) == [(Decimal("276.3"), 1, "R1")]
    assert [m.bought for m in second.movements if m.line.item == "RC-S08"] == [0, 0]


def test_a_label_is_proposed_for_every_rest_that_is_kept() -> None:
    book = book_with(bar("1000", "5.00"), FELT)
    cutting = cutting_sheets([("A", segment(600.0)), ("B", segment(900.0))], book)
    assert rack_labels(cutting, book) == {Rest("RC-S08", 3984): "R1", Rest("FE-30", 12000, 4840): "R2"}
