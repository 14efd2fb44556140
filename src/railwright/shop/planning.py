"""Cut the segments of many instruments from bars and sheets, material by material."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from decimal import Decimal

from railwright.book.model import ShopBook, StockLine
from railwright.computing.results import CarrierCut, InstrumentResult, SectionResult
from railwright.shop.cut_lines import piece_label
from railwright.shop.cutting.certificate import check
from railwright.shop.cutting.felt import plan_felt
from railwright.shop.cutting.felt_check import check_felt
from railwright.shop.cutting.felt_model import Rect, Sheet
from railwright.shop.cutting.model import Piece, Stock, tenths
from railwright.shop.cutting.solve import plan_bars
from railwright.shop.order_model import CuttingSheet
from railwright.shop.price_views import PriceView, cheapest_bought, price_views


def cutting_sheets(results: Sequence[tuple[str, InstrumentResult]], book: ShopBook) -> tuple[CuttingSheet, ...]:
    """Plan every bar and every felt sheet for the given instruments, and have every plan checked.

    Args:
        results: order number and result of each instrument whose parts are made.
        book: the shelf, the prices and the saw's kerf.

    Returns:
        One sheet a material, bars before felt, by item code; each with what the separate check found wrong with it.
    """
    segments = [(order, section) for order, result in results for section in result.sections]
    return (*_bars(segments, book), *_felts(segments, book))


def saw_setting(carrier: CarrierCut) -> str:
    """Name the saw's setting for a carrier: ``left 12.0`` or ``square``."""
    return "square" if carrier.saw_hand == "square" else f"{carrier.saw_hand} {carrier.saw_angle_deg:.1f}"


def bar_stock(item: str, book: ShopBook, view: PriceView) -> list[Stock]:
    """List the bars of an item: offcuts, whole bars on the shelf (already paid for), and bars to buy."""
    stock: list[Stock] = []
    for place, line in _lines(item, book):
        length = tenths(line.length_mm)
        if line.on_hand > 0:
            stock.append(Stock(item, length, 0, line.on_hand, line.offcut, line.rack))
        if place in view:
            stock.append(Stock(item, length, view[place], None))
    return stock


def felt_stock(item: str, book: ShopBook, view: PriceView) -> list[Sheet]:
    """List the sheets of a felt: offcuts, sheets on the shelf (already paid for), and sheets to buy."""
    stock: list[Sheet] = []
    for place, line in _lines(item, book):
        length, width = tenths(line.length_mm), tenths(line.width_mm)
        if line.on_hand > 0:
            stock.append(Sheet(item, length, width, 0, line.on_hand, line.offcut, line.rack))
        if place in view:
            stock.append(Sheet(item, length, width, view[place], None))
    return stock


def _lines(item: str, book: ShopBook) -> Iterable[tuple[int, StockLine]]:
    return ((place, line) for place, line in enumerate(book.stock) if line.item == item)


def _bars(segments: list[tuple[str, SectionResult]], book: ShopBook) -> Iterable[CuttingSheet]:
    pieces: dict[str, list[Piece]] = defaultdict(list)
    for order, section in segments:
        if carrier := section.carrier:
            label = piece_label(order, section.section)
            pieces[carrier.item].append(Piece(label, tenths(round(carrier.length_mm, 3)), saw_setting(carrier)))
    kerf, trim = (tenths(Decimal(str(book.value(key)))) for key in ("kerf", "bar_trim"))
    for carrier_item in sorted(book.carriers, key=lambda carrier: carrier.item):
        if wanted := pieces.get(carrier_item.item):
            plans = []
            for view in price_views(carrier_item.item, book):
                stock = bar_stock(carrier_item.item, book, view)
                plan = plan_bars(carrier_item.item, wanted, stock, kerf, trim)
                faults = tuple(check(plan, wanted, stock))
                plans.append(CuttingSheet(carrier_item.item, carrier_item.name, "bar", plan, faults, tuple(stock)))
            yield cheapest_bought(plans, book)


def _felts(segments: list[tuple[str, SectionResult]], book: ShopBook) -> Iterable[CuttingSheet]:
    rects: dict[str, list[Rect]] = defaultdict(list)
    for order, section in segments:
        if felt := section.felt:
            label = piece_label(order, section.section)
            size = tenths(round(felt.length_mm, 3)), tenths(round(felt.width_mm, 3))
            rects[felt.item].append(Rect(label, *size))
    for felt_item in sorted(book.felts, key=lambda felt: felt.item):
        if wanted := rects.get(felt_item.item):
            plans = []
            for view in price_views(felt_item.item, book):
                stock = felt_stock(felt_item.item, book, view)
                plan = plan_felt(felt_item.item, wanted, stock)
                faults = tuple(check_felt(plan, wanted, stock))
                plans.append(CuttingSheet(felt_item.item, felt_item.name, "felt", plan, faults, tuple(stock)))
            yield cheapest_bought(plans, book)
