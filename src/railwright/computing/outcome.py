"""What came of the choice for one segment: a design that may be made, one to confirm, or the nearest miss and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from railwright.book.model import Carrier, ShopBook
from railwright.computing.choice import Bench, Design, Limits, Option, Order, bars_of, cheapest, options_of
from railwright.computing.segment import Segment, tightest
from railwright.computing.side import SideChoice

Miss = Literal["", "stack", "lift", "felt", "side", "station", "parts"]


_EASIER_MM = 2.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """The best design of a segment and what it misses: nothing, or the first limit that no design can meet."""

    segment: Segment
    bench: Bench
    options: tuple[Option, ...]
    sides: tuple[tuple[Carrier, SideChoice], ...]
    design: Design | None
    miss: Miss

    @property
    def guarded(self) -> bool:
        """Whether the design holds with the guard on every clearance."""
        highest, _ = tightest_of(self.segment, self.bench.book, guarded=True)
        design = self.design
        return design is not None and not self.miss and design.option.bar.sure and _height(design) <= highest + 1e-6


def _height(design: Design) -> float:
    return design.option.stack_mm + design.base_shim_mm


def tightest_of(segment: Segment, book: ShopBook, guarded: bool) -> tuple[float, float]:
    """Highest untilted stack and the place that allows no more, with or without the guard, mm."""
    return tightest(segment, book.value("rest_clearance"), book.value("z_p") if guarded else 0.0)


def lifts_of(book: ShopBook) -> tuple[float, ...]:
    """List the lifts of the shop book's cranks, without repeats, mm."""
    bought = {line.item for line in book.stock if line.price is not None and not line.offcut}
    return tuple(sorted({part.size_mm for part in book.parts("crank") if part.item in bought}))


def outcome_of(segment: Segment, book: ShopBook) -> Outcome:
    """Choose the parts of one segment.

    Args:
        segment: the section's segment.
        book: catalogue and rule values.

    Returns:
        The cheapest design that meets every limit with its guard; else the one with the lowest stack that meets them
        without; else the nearest miss.
    """
    bench = Bench(segment, book)
    laid = bars_of(segment, book)
    sides = tuple((carrier, choice) for carrier, choice, _ in laid)
    options = tuple(options_of(segment, [bar for _, _, bar in laid if bar is not None], book))
    design: Design | None = None
    miss = _hindrance(bench, options, sides)
    if not miss:
        design, miss = _best(bench, options, lifts_of(book))
    return Outcome(segment, bench, options, sides, design, miss)


def _best(bench: Bench, options: Sequence[Option], lifts: tuple[float, ...]) -> tuple[Design | None, Miss]:
    """Try the limits from the strictest to the most lenient."""
    plain, guarded = (tightest_of(bench.segment, bench.book, guard)[0] for guard in (False, True))
    attempts: tuple[tuple[Limits, Order], ...] = (
        (Limits(guarded, lifts, True), "cost"),
        (Limits(guarded, lifts, False), "cost"),
        (Limits(plain, lifts, True), "low"),
        (Limits(plain, lifts, False), "low"),
    )
    for limits, order in attempts:
        design = cheapest(bench, options, limits, order)
        if design is not None:
            return design, ""
    return _nearest_miss(bench, options, lifts, plain)


def _nearest_miss(
    bench: Bench, options: Sequence[Option], lifts: tuple[float, ...], highest: float
) -> tuple[Design | None, Miss]:
    """Of a design that is too tall and one that no crank lifts rightly, give the one that misses by less.

    A crank is easier had than room under the strings, so it may miss by a little more.
    """
    tall = cheapest(bench, options, Limits(np.inf, lifts, False), "low")
    tallest = min(highest, max(option.stack_mm for option in options) + bench.book.value("shim_max"))
    far = bench.segment.levelling.gap_mm - tallest > max(lifts, default=0.0)
    unlifted = cheapest(bench, options, Limits(highest, None, False), "tall" if far else "low")
    if tall is None and unlifted is None:
        unlifted = cheapest(bench, options, Limits(np.inf, None, False), "low")
    if tall is not None and (unlifted is None or _height(tall) - highest + _EASIER_MM < _beyond(unlifted, lifts)):
        return tall, "stack"
    return unlifted, "lift" if unlifted is not None else "felt"


def _beyond(design: Design, lifts: tuple[float, ...]) -> float:
    """How far a design's lift is from the nearest crank, mm."""
    return min((abs(lift - design.lift_mm) for lift in lifts), default=np.inf)


def _hindrance(bench: Bench, options: Sequence[Option], sides: Sequence[tuple[Carrier, SideChoice]]) -> Miss:
    """Say what rules out every design before any is tried: no parts, no side or no places for two stations."""
    if sides and all(choice.side is None for _, choice in sides):
        return "side"
    if not options:
        return "parts"
    return "" if any(_stations_stand(bench, option) for option in options) else "station"


def _stations_stand(bench: Bench, option: Option) -> bool:
    """Say whether two places lie within the overhang of either end."""
    bed, _ = bench.bed(option.bar)
    lead, tail = bed.places - bed.start, bed.end - bed.places
    first = (lead <= bed.overhang_max) & (lead >= bed.foot / 2)
    last = (tail <= bed.overhang_max) & (tail >= bed.foot / 2)
    return bool(first.any() and last.any() and np.flatnonzero(first)[0] < np.flatnonzero(last)[-1])
