"""The lines of a felt's cutting list: sheets cut alike taken together, strips across them, pieces along strips."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from railwright.shop.cutting.felt_model import FeltPlan, Rect, Sheet, SheetCut, Strip
from railwright.writing.confirming import marked_piece
from railwright.writing.cutting_lines import Cut, where_from
from railwright.writing.numbers import plain, several


@dataclass(frozen=True, slots=True)
class FeltStrip:
    """One strip: its width, where it lies across the sheet, its pieces from one end, and what is left of its length."""

    width_mm: float
    from_mm: float
    to_mm: float
    cuts: tuple[Cut, ...]
    remnant_mm: float


@dataclass(frozen=True, slots=True)
class FeltGroup:
    """Sheets that are cut alike: which ones, from which stock, the strips of each, and what is left of its width."""

    first: int
    count: int
    sheet: Sheet
    strips: tuple[FeltStrip, ...]
    remnant_mm: float

    @property
    def numbers(self) -> str:
        """The sheets' running numbers: ``4`` or ``4 to 6``."""
        return str(self.first) if self.count == 1 else f"{self.first} to {self.first + self.count - 1}"


def felt_groups(plan: FeltPlan, unconfirmed: Collection[str] = ()) -> tuple[FeltGroup, ...]:
    """Merge sheets that follow each other and are cut alike.

    Args:
        plan: the plan of one felt.
        unconfirmed: orders whose pieces are marked.

    Returns:
        Groups in cutting order, sheets numbered from 1.
    """
    runs: list[list[SheetCut]] = []
    for sheet in plan.sheets:
        if runs and _alike(runs[-1][0], sheet):
            runs[-1].append(sheet)
        else:
            runs.append([sheet])
    groups, first = [], 1
    for run in runs:
        groups.append(FeltGroup(first, len(run), run[0].sheet, _strips(run, unconfirmed), run[0].remnant / 10))
        first += len(run)
    return tuple(groups)


def _alike(one: SheetCut, other: SheetCut) -> bool:
    return one.sheet == other.sheet and _shape(one.strips) == _shape(other.strips)


def _shape(strips: Sequence[Strip]) -> list[tuple[int, list[tuple[int, int]]]]:
    return [(strip.width, [(rect.length, rect.width) for rect in strip.rects]) for strip in strips]


def _strips(run: Sequence[SheetCut], unconfirmed: Collection[str]) -> tuple[FeltStrip, ...]:
    strips, across = [], 0
    for position, strip in enumerate(run[0].strips):
        same = [sheet.strips[position] for sheet in run]
        end = across + strip.width
        strips.append(FeltStrip(strip.width / 10, across / 10, end / 10, _cuts(same, unconfirmed), strip.remnant / 10))
        across = end
    return tuple(strips)


def _cuts(same: Sequence[Strip], unconfirmed: Collection[str]) -> tuple[Cut, ...]:
    """Give the pieces of strips cut alike; a knife takes nothing, so each begins where the last one ends."""
    cuts, start = [], 0
    for position, piece in enumerate(same[0].rects):
        labels = tuple(marked_piece(strip.rects[position].label, unconfirmed) for strip in same)
        end = start + piece.length
        cuts.append(Cut(labels, piece.length / 10, f"{plain(piece.width / 10)} wide", start / 10, end / 10))
        start = end
    return tuple(cuts)


def sheet_words(sheet: Sheet) -> str:
    """Name a sheet's size and where it comes from."""
    return f"{plain(sheet.length / 10)} x {plain(sheet.width / 10)} mm, {where_from(sheet)}"


def felt_pieces(plan: FeltPlan) -> list[Rect]:
    """List every piece that a plan cuts."""
    return [rect for sheet in plan.sheets for strip in sheet.strips for rect in strip.rects]


def felt_yield_percent(plan: FeltPlan) -> float:
    """Give the share of the sheets' area that becomes pieces, in percent; 0 for an empty plan."""
    area = sum(cut.sheet.length * cut.sheet.width for cut in plan.sheets)
    return 100 * sum(rect.length * rect.width for rect in felt_pieces(plan)) / area if area else 0.0


def felt_totals_words(plan: FeltPlan) -> str:
    """Sum a felt plan up: sheets, strips, pieces, yield."""
    strips = sum(len(sheet.strips) for sheet in plan.sheets)
    return (
        f"{several(len(plan.sheets), 'sheet')}, {several(strips, 'strip')}, "
        f"{several(len(felt_pieces(plan)), 'piece')}; yield {plain(felt_yield_percent(plan))} % of the area."
    )
