"""Felt strips from sheets: across the sheet into strips by width, then each strip into lengths.

A knife takes no kerf, and a strip is never turned: felt is cut along its length. Lengths are whole tenths of a
millimetre, money whole cents.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from railwright.shop.cutting.model import Bar, Piece, Stock
from railwright.shop.cutting.solve import plan_bars


@dataclass(frozen=True, slots=True)
class Rect:
    """One strip to be cut: its label, its length along the sheet and its width across it."""

    label: str
    length: int
    width: int


@dataclass(frozen=True, slots=True)
class Sheet:
    """One kind of sheet to buy, or one kind lying on the shelf; ``available`` as for a bar's stock."""

    item: str
    length: int
    width: int
    cents: int
    available: int | None
    offcut: bool = False
    rack: str = ""


@dataclass(frozen=True, slots=True)
class Strip:
    """One strip along a sheet, its pieces from one end, and what is left of its length."""

    width: int
    pieces: tuple[Rect, ...]
    remnant: int


@dataclass(frozen=True, slots=True)
class CutSheet:
    """One sheet with its strips side by side, and what is left of its width."""

    sheet: Sheet
    strips: tuple[Strip, ...]
    remnant_width: int


@dataclass(frozen=True, slots=True)
class FeltPlan:
    """How to cut the strips of one felt, what that costs, and what no plan can undercut.

    ``unplaced`` holds strips that fit no sheet to be had; money and bound are for the others.
    """

    item: str
    sheets: tuple[CutSheet, ...]
    unplaced: tuple[Rect, ...]
    cents: int
    bound_cents: int
    proven: bool


def plan_felt(item: str, rects: Sequence[Rect], sheets: Sequence[Sheet]) -> FeltPlan:
    """Cut strips from sheets: the shelf first, then sheets to buy of one size, the size that costs least.

    Args:
        item: code of the felt.
        rects: strips to be cut.
        sheets: what is on the shelf and what can be bought.

    Returns:
        The plan, with a bound from the area of the strips.
    """
    ordered = sorted(rects, key=lambda rect: (-rect.width, -rect.length, rect.label))
    shelf = sorted((s for s in sheets if s.available is not None), key=lambda s: (not s.offcut, s.length * s.width))
    done: list[CutSheet] = []
    for sheet in shelf:
        for _ in range(sheet.available or 0):
            cut = _fill_one(ordered, sheet)
            if cut.strips:
                done.append(cut)
                placed = {rect.label for strip in cut.strips for rect in strip.pieces}
                ordered = [rect for rect in ordered if rect.label not in placed]
    options = [_buy(ordered, sheet) for sheet in sheets if sheet.available is None]
    bought, left = min(options, key=lambda option: (len(option[1]), _cost(option[0])), default=([], ordered))
    cents = _cost(bought)
    bound = _bound([rect for rect in ordered if rect not in left], [s for s in sheets if s.available is None])
    return FeltPlan(item, (*done, *bought), tuple(left), cents, bound, cents == bound)


def _cost(cut: Sequence[CutSheet]) -> int:
    return sum(sheet.sheet.cents for sheet in cut)


def _bound(rects: Sequence[Rect], bought: Sequence[Sheet]) -> int:
    """Bound the money from below: no sheet yields more than its area, so area times the cheapest price by area."""
    if not rects or not bought:
        return 0
    area = sum(rect.length * rect.width for rect in rects)
    by_area = min(-(-area * sheet.cents // (sheet.length * sheet.width)) for sheet in bought)
    return max(by_area, min(sheet.cents for sheet in bought))


def _fits(rect: Rect, sheet: Sheet) -> bool:
    return rect.length <= sheet.length and rect.width <= sheet.width


def _fill_one(rects: Sequence[Rect], sheet: Sheet) -> CutSheet:
    cut, _ = _buy(rects, sheet)
    return max(
        cut, key=lambda each: sum(r.length * r.width for s in each.strips for r in s.pieces), default=_empty(sheet)
    )


def _empty(sheet: Sheet) -> CutSheet:
    return CutSheet(sheet, (), sheet.width)


def _buy(rects: Sequence[Rect], sheet: Sheet) -> tuple[list[CutSheet], list[Rect]]:
    """Cut everything that fits from sheets of one size: lengths into strips by width, strips into sheets."""
    strips = [strip for group in _by_width(rects, sheet) for strip in _strips(group, sheet)]
    pieces = [Piece(str(number), strip.width) for number, strip in enumerate(strips)]
    plan = plan_bars(sheet.item, pieces, [Stock(sheet.item, sheet.width, 1, None)], 0)
    cut = [CutSheet(sheet, tuple(strips[int(p.label)] for p in bar.pieces), bar.remnant) for bar in plan.bars]
    return cut, [rect for rect in rects if not _fits(rect, sheet)]


def _by_width(rects: Sequence[Rect], sheet: Sheet) -> list[list[Rect]]:
    groups: dict[int, list[Rect]] = defaultdict(list)
    for rect in rects:
        if _fits(rect, sheet):
            groups[rect.width].append(rect)
    return [groups[width] for width in sorted(groups, reverse=True)]


def _strips(rects: Sequence[Rect], sheet: Sheet) -> list[Strip]:
    pieces = [Piece(str(number), rect.length) for number, rect in enumerate(rects)]
    plan = plan_bars(sheet.item, pieces, [Stock(sheet.item, sheet.length, 1, None)], 0)
    return [Strip(rects[0].width, _rects_on(bar, rects), bar.remnant) for bar in plan.bars]


def _rects_on(bar: Bar, rects: Sequence[Rect]) -> tuple[Rect, ...]:
    return tuple(rects[int(piece.label)] for piece in bar.pieces)
