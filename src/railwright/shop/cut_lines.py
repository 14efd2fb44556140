"""Every bar or strip of a cutting plan as one plain line, and the stock that a plan takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from railwright.shop.cutting.felt_model import FeltPlan
from railwright.shop.cutting.model import Plan
from railwright.shop.order_model import CuttingSheet


@dataclass(frozen=True, slots=True)
class CutLine:
    """One bar, or one strip across a sheet. Lengths in mm; ``width_mm`` is ``None`` for a bar."""

    stock_mm: float
    width_mm: float | None
    offcut: bool
    kerf_mm: float
    pieces: tuple[tuple[str, float], ...]
    remnant_mm: float


@dataclass(frozen=True, slots=True)
class StockTaken:
    """One kind of stock that a plan takes; lengths in tenths of a millimetre."""

    length: int
    width: int
    offcut: bool
    bought: bool


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
            yield CutLine(bar.stock.length / 10, None, bar.stock.offcut, kerf, pieces, bar.remnant / 10)
    else:
        yield from _strips(sheet.plan)


def stock_taken(sheet: CuttingSheet) -> Counter[StockTaken]:
    """Count the bars or sheets that a plan takes, by size and by where they come from."""
    if isinstance(sheet.plan, Plan):
        stocks = [(bar.stock, 0) for bar in sheet.plan.bars]
        return Counter(StockTaken(s.length, width, s.offcut, s.available is None) for s, width in stocks)
    sheets = [cut.sheet for cut in sheet.plan.sheets]
    return Counter(StockTaken(s.length, s.width, s.offcut, s.available is None) for s in sheets)


def _strips(plan: FeltPlan) -> Iterator[CutLine]:
    for cut in plan.sheets:
        for strip in cut.strips:
            pieces = tuple((rect.label, rect.length / 10) for rect in strip.rects)
            length, width = cut.sheet.length / 10, strip.width / 10
            yield CutLine(length, width, cut.sheet.offcut, 0.0, pieces, strip.remnant / 10)
