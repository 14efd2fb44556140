"""What is ordered: the sum of all needs, less the shelf, in whole packs; bars and felt from the cutting plan."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from railwright.book.default_catalogue import default_shop_book
from railwright.book.model import ShopBook, StockLine
from railwright.computing.results import CarrierCut, FeltCut, InstrumentResult, Part, SectionResult, Station
from railwright.shop.order import order_lines
from railwright.shop.order_model import InstrumentNeed
from railwright.shop.planning import cutting_sheets


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
    assert notes == ("HF-30: the shop book names no price to buy it at; 7 are missing.",)


def test_an_item_without_a_price_that_the_shelf_covers_is_no_trouble():
    _, notes = order_lines([need("A", feet(2))], [], stock(pack("HF-30", 5, None, 2)))
    assert notes == ()


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


def test_a_piece_longer_than_any_bar_is_said_aloud():
    lines, notes = bars_for([1000.0, 1000.1], stock(bar("1000", "5.00")))
    assert lines == {"square tube 8 x 8 x 1, aluminium, bar 1000 mm": (1, 0, 1, Decimal(5))}
    assert notes == (
        "RC-S08: no stock for piece O1/1 of 1000.1 mm. Add stock to the shop book; the piece is in no plan.",
    )
