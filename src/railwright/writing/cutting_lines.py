"""The lines of a bar's cutting list: bars that are sawn alike taken together, every cut with its running marks."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from railwright.shop.cutting.felt_model import Rect, Sheet
from railwright.shop.cutting.model import Bar, Piece, Plan, Stock
from railwright.shop.remnants import Racks, Rest
from railwright.writing.confirming import marked_piece
from railwright.writing.felt_ends import FELT_ENDS
from railwright.writing.numbers import fixed, plain, several
from railwright.writing.saw_hand import HAND_WORDS

#: How the places of felt strips and pieces are measured.
FELT_MARKS = (
    "Strips lie side by side across the sheet, from one edge; pieces follow each other along a strip, From and "
    "To measured from one end. Cut strips first, then lengths; the grain runs along the piece, so nothing is turned. "
    f"{FELT_ENDS}"
)


@dataclass(frozen=True, slots=True)
class Cut:
    """One piece on a bar. ``from_mm`` and ``to_mm`` are its long points, measured from the bar's first end.

    ``labels`` names the piece on each of the bars that are sawn alike, in their order.
    """

    labels: tuple[str, ...]
    length_mm: float
    setting: str
    from_mm: float
    to_mm: float


@dataclass(frozen=True, slots=True)
class BarGroup:
    """Bars that are sawn alike: which ones, from which stock, cut where, and what is left of each."""

    first: int
    count: int
    stock: Stock
    cuts: tuple[Cut, ...]
    remnant_mm: float

    @property
    def numbers(self) -> str:
        """The bars' running numbers: ``4`` or ``4 to 6``."""
        return str(self.first) if self.count == 1 else f"{self.first} to {self.first + self.count - 1}"


def bar_groups(plan: Plan, unconfirmed: Collection[str] = ()) -> tuple[BarGroup, ...]:
    """Merge bars that follow each other in sawing order and are sawn alike.

    Args:
        plan: the plan of one material.
        unconfirmed: orders whose pieces are marked.

    Returns:
        Groups in sawing order, bars numbered from 1.
    """
    runs: list[list[Bar]] = []
    for bar in plan.bars:
        if runs and _alike(runs[-1][0], bar):
            runs[-1].append(bar)
        else:
            runs.append([bar])
    groups, first = [], 1
    for run in runs:
        groups.append(BarGroup(first, len(run), run[0].stock, _cuts(run, plan, unconfirmed), run[0].remnant / 10))
        first += len(run)
    return tuple(groups)


def _alike(one: Bar, other: Bar) -> bool:
    """Tell whether two bars come from the same stock and are sawn at the same marks with the same settings."""
    return one.stock == other.stock and _shape(one.pieces) == _shape(other.pieces)


def _shape(pieces: Sequence[Piece]) -> list[tuple[int, str]]:
    return [(piece.length, piece.setup) for piece in pieces]


def _cuts(run: Sequence[Bar], plan: Plan, unconfirmed: Collection[str]) -> tuple[Cut, ...]:
    cuts, start = [], plan.trim
    for position, piece in enumerate(run[0].pieces):
        labels = tuple(marked_piece(bar.pieces[position].label, unconfirmed) for bar in run)
        end = start + piece.length
        cuts.append(Cut(labels, piece.length / 10, piece.setup, start / 10, end / 10))
        start = end + plan.kerf
    return tuple(cuts)


def where_from(stock: Stock | Sheet) -> str:
    """Say where a bar or sheet comes from: ``offcut, rack B2``, ``from the shelf`` or ``to buy``."""
    if stock.offcut:
        return f"offcut, rack {stock.rack}" if stock.rack else "offcut"
    return "to buy" if stock.available is None else "from the shelf"


def bar_words(stock: Stock) -> str:
    """Name a bar's length and where it comes from."""
    return f"{plain(stock.length / 10)} mm, {where_from(stock)}"


def yield_percent(plan: Plan) -> float:
    """Give the share of the bars' length that becomes pieces, in percent; 0 for an empty plan."""
    stock = sum(bar.stock.length for bar in plan.bars)
    return 100 * sum(piece.length for bar in plan.bars for piece in bar.pieces) / stock if stock else 0.0


def totals_words(plan: Plan) -> str:
    """Sum a plan up: bars, pieces, lengths, yield and saw settings."""
    pieces = [piece for bar in plan.bars for piece in bar.pieces]
    cut = plain(sum(piece.length for piece in pieces) / 10)
    stock = plain(sum(bar.stock.length for bar in plan.bars) / 10)
    return (
        f"{several(len(plan.bars), 'bar')}, {several(len(pieces), 'piece')}; {cut} mm cut from {stock} mm, "
        f"yield {plain(yield_percent(plan))} %; {several(plan.setups, 'saw setting')}."
    )


def rest_words(rest: Rest, racks: Racks) -> str:
    """Say what becomes of a rest: the label that it is marked and racked with, or that it is too small to keep."""
    if rest in racks:
        return f"keep: mark {racks[rest]}"
    return "not kept" if rest.length else ""


def marks_words(plan: Plan) -> str:
    """Explain the running marks."""
    trim = f" after an end trim of {plain(plan.trim / 10)} mm" if plan.trim else ""
    return (
        f"From and To are measured from one end of the bar{trim}, long point to long point; each saw cut "
        f"({plain(plan.kerf / 10)} mm) lies beyond To. {HAND_WORDS}"
    )


def unplaced_words(piece: Piece | Rect) -> str:
    """Say that a piece is in no plan."""
    size = f"{fixed(piece.length / 10)} mm"
    if isinstance(piece, Rect):
        size = f"{fixed(piece.length / 10)} x {fixed(piece.width / 10)} mm"
    return f"{piece.label}, {size}: nothing in stock or to buy is large enough or left for it. It is in no plan."
