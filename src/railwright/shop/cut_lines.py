"""Every bar or strip of a cutting plan as one plain line, and the bars or sheets that a plan takes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from railwright.shop.cutting.felt_model import FeltPlan, Rect, Sheet
from railwright.shop.cutting.model import Piece, Plan, Stock
from railwright.shop.order_model import CuttingSheet


@dataclass(frozen=True, slots=True)
class CutLine:
    """One bar, or one strip across a sheet. Lengths in mm; ``width_mm`` is ``None`` for a bar."""

    stock_mm: float
    width_mm: float | None
    offcut: bool
    bought: bool
    kerf_mm: float
    pieces: tuple[tuple[str, float], ...]
    remnant_mm: float


@dataclass(frozen=True, slots=True)
class StockUse:
    """One bar or sheet that a plan takes, where it comes from, and the orders of its pieces; tenths of a millimetre."""

    length: int
    width: int
    offcut: bool
    rack: str
    bought: bool
    orders: tuple[str, ...]

    @property
    def size(self) -> tuple[int, int]:
        """Length and width; the width of a bar is 0."""
        return self.length, self.width


def cut_lines(sheet: CuttingSheet) -> Iterator[CutLine]:
    """Go through a plan bar by bar, or strip by strip.

    Args:
        sheet: the cutting plan of one material.

    Yields:
        One line a bar or strip, in sawing order.
    """
    if isinstance(sheet.plan, Plan):
        for bar in sheet.plan.bars:
            pieces = tuple((piece.label, piece.length / 10) for piece in bar.pieces)
            kerf = sheet.plan.kerf / 10
            bought = bar.stock.available is None
            yield CutLine(bar.stock.length / 10, None, bar.stock.offcut, bought, kerf, pieces, bar.remnant / 10)
    else:
        yield from _strips(sheet.plan)


def stock_uses(sheet: CuttingSheet) -> Iterator[StockUse]:
    """Go through the bars or sheets that a plan takes.

    Args:
        sheet: the cutting plan of one material.

    Yields:
        One use a bar or sheet, in cutting order.
    """
    if isinstance(sheet.plan, Plan):
        for bar in sheet.plan.bars:
            yield _use(bar.stock, 0, bar.pieces)
    else:
        for cut in sheet.plan.sheets:
            yield _use(cut.sheet, cut.sheet.width, [rect for strip in cut.strips for rect in strip.rects])


def _use(stock: Stock | Sheet, width: int, pieces: Iterable[Piece | Rect]) -> StockUse:
    orders = tuple(sorted({order_of(piece.label) for piece in pieces}))
    return StockUse(stock.length, width, stock.offcut, stock.rack, stock.available is None, orders)


def piece_label(order_no: str, section: int) -> str:
    """Label a piece with its order and section, as it is marked at the saw."""
    return f"{order_no}/{section}"


def order_of(label: str) -> str:
    """Give the order that a piece's label names; an order number may hold slashes of its own."""
    return label.rpartition("/")[0]


def _strips(plan: FeltPlan) -> Iterator[CutLine]:
    for cut in plan.sheets:
        for strip in cut.strips:
            pieces = tuple((rect.label, rect.length / 10) for rect in strip.rects)
            length, width = cut.sheet.length / 10, strip.width / 10
            bought = cut.sheet.available is None
            yield CutLine(length, width, cut.sheet.offcut, bought, 0.0, pieces, strip.remnant / 10)
