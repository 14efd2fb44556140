"""What came of the choice for one segment: a design that may be made, one to confirm, or the nearest miss and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from railwright.book.model import Carrier, ShopBook
from railwright.computing.choice import (
    MOST_STRINGS,
    Bench,
    Design,
    Limits,
    Option,
    Order,
    bars_of,
    cheapest,
    in_one_piece,
    options_of,
    windows_of,
)
from railwright.computing.easing import Easing, easing_of
from railwright.computing.placement import Budget
from railwright.computing.segment import Segment, tightest, with_heights
from railwright.computing.side import SideChoice

Miss = Literal["", "stack", "lift", "felt", "side", "station", "long", "parts", "something"]

_EASIER_MM = 2.0
_BY_TILT: frozenset[Miss] = frozenset({"stack", "felt"})
"""What gaps at rest that tilt less may put right."""
_HINDRANCES: frozenset[Miss] = frozenset({"side", "station", "long", "parts"})
"""What rules out every design before any is tried, whatever the heights."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """The best design of a segment and what it misses: nothing, or the first limit that no design can meet.

    ``searched_whole`` says whether a miss was found by trying every set of stations, ``easing`` how the gaps at rest
    were eased where they could not be levelled as read; the segment then holds the eased ones. ``searched_besides`` is
    what was looked at under the gaps that were not taken in the end. ``limits`` and ``order`` are those that the design
    was chosen by.
    """

    segment: Segment
    bench: Bench
    options: tuple[Option, ...]
    sides: tuple[tuple[Carrier, SideChoice], ...]
    design: Design | None
    miss: Miss
    searched_whole: bool = True
    easing: Easing | None = None
    searched_besides: int = 0
    limits: Limits | None = None
    order: Order = "cost"

    @property
    def certain(self) -> bool:
        """Whether nothing was left out in finding the design, or in finding none."""
        return self.searched_whole if self.miss or self.design is None else self.design.proven

    @property
    def searched_strings(self) -> int:
        """How many strings of station sets were looked at, easing included."""
        return self.bench.budget.spent + self.searched_besides

    @property
    def guarded(self) -> bool:
        """Whether the design holds with the guard on every clearance."""
        return not self.miss and self.limits is not None and self.limits.sure and self.order == "cost"


def _height(design: Design) -> float:
    return design.option.stack_mm + design.base_shim_mm


def tightest_of(segment: Segment, book: ShopBook, guarded: bool) -> tuple[float, float]:
    """Highest untilted stack and the place that allows no more, with or without the guard, mm."""
    return tightest(segment, book.value("rest_clearance"), book.value("z_p") if guarded else 0.0)


def lifts_of(book: ShopBook) -> tuple[float, ...]:
    """List the lifts of the shop book's cranks, without repeats, mm."""
    return tuple(sorted({part.size_mm for part in book.parts("crank") if book.price_each(part.item) is not None}))


def outcome_of(segment: Segment, book: ShopBook, most_strings: int = MOST_STRINGS) -> Outcome:
    """Choose the parts of one segment.

    Args:
        segment: the section's segment.
        book: catalogue and rule values.
        most_strings: how many strings of station sets may be looked at before the search thins out.

    Returns:
        The cheapest design that meets every limit with its guard; else the one with the lowest stack that meets them
        without; else the same under gaps at rest eased within their doubt; else the nearest miss.
    """
    as_read = _nearest(_as_read(Bench(segment, book, budget=Budget(most_strings))))
    return _eased_if_that_helps(as_read, most_strings)


def outcome_again(segment: Segment, before: Outcome, most_strings: int = MOST_STRINGS) -> Outcome:
    """Choose the parts of a segment under other heights, from what is known of it.

    Args:
        segment: the segment of the earlier outcome in all but its heights.
        before: what came of it, by the same shop book.
        most_strings: as for ``outcome_of``.

    Returns:
        The same design as from nothing. Where there is none it misses something, and what is not looked for.
    """
    limits = _limits_still_met(before, segment)
    bench = before.bench.under_other_heights(segment, Budget(most_strings))
    if limits is not None:
        return replace(before, segment=segment, bench=bench, limits=limits, searched_besides=0)
    as_read = _chosen(bench, before)
    if as_read.miss == "something" and _may_hang_on_the_miss(segment, bench.book):
        as_read = _nearest(as_read)
    return _eased_if_that_helps(as_read, most_strings)


def _eased_if_that_helps(as_read: Outcome, most_strings: int) -> Outcome:
    segment, bench = as_read.segment, as_read.bench
    easing = _easing(as_read)
    if easing is None:
        return as_read
    eased_segment = with_heights(segment, easing.heights, bench.book)
    eased = _chosen(bench.under_other_heights(eased_segment, Budget(most_strings)), as_read)
    if eased.miss:
        return replace(
            as_read,
            searched_whole=as_read.searched_whole and eased.searched_whole,
            searched_besides=eased.searched_strings,
        )
    return replace(eased, easing=easing, searched_besides=as_read.searched_strings)


def _limits_still_met(before: Outcome, segment: Segment) -> Limits | None:
    """Give the limits of a segment with no more height than before if the earlier design meets them, else ``None``.

    What was best among all that met wider limits is best among those that meet narrower ones. The gaps at rest must be
    as before, so that all designs press alike.
    """
    if before.design is None or before.limits is None or not before.guarded or before.easing is not None:
        return None
    if not segment.rests_like(before.segment):
        return None
    highest, _ = tightest_of(segment, before.bench.book, guarded=True)
    if highest > before.limits.highest_mm:
        return None
    limits, design = replace(before.limits, highest_mm=highest), before.design
    windows = windows_of(design.option, segment, limits, before.bench.book)
    same = (windows.lift == design.lift_mm) & (windows.shim == design.base_shim_mm)
    return limits if same.any() else None


def _easing(as_read: Outcome) -> Easing | None:
    """Ease the gaps at rest where that may make a difference: a tilt that becomes less, or a lift out of reach."""
    segment, register = as_read.segment, as_read.segment.section.register
    if register is None or as_read.miss not in {"something", "lift", *_BY_TILT}:
        return None
    easing = easing_of(segment.heights, register, as_read.bench.book)
    if easing is None or (as_read.miss in _BY_TILT and not easing.heights.tilt_mm < segment.heights.tilt_mm):
        return None
    return easing


def _may_hang_on_the_miss(segment: Segment, book: ShopBook) -> bool:
    """Say whether it takes the kind of miss to know if eased gaps are to be tried: they tilt no less."""
    register = segment.section.register
    easing = None if register is None else easing_of(segment.heights, register, book)
    return easing is not None and not easing.heights.tilt_mm < segment.heights.tilt_mm


def _as_read(bench: Bench) -> Outcome:
    """Choose the parts of a segment for the gaps at rest that it has; where there is no design, the miss is not named.

    Only what rules out every design before any is tried is named at once.
    """
    segment, book = bench.segment, bench.book
    laid = bars_of(segment, book)
    sides = tuple((carrier, choice) for carrier, choice, _ in laid)
    every = options_of(segment, [bar for _, _, bar in laid if bar is not None], book)
    whole = in_one_piece(every, book)
    options = tuple(whole or every)
    offer = Outcome(segment, bench, options, sides, None, _hindrance(bench, options, bool(whole), sides))
    return _chosen(bench, offer)


def _chosen(bench: Bench, offer: Outcome) -> Outcome:
    """Choose among what there is to choose from, or what hinders it, both of which heights leave as they are."""
    options, sides = offer.options, offer.sides
    if offer.miss in _HINDRANCES:
        return Outcome(bench.segment, bench, options, sides, None, offer.miss)
    for limits, order in _attempts(bench, options):
        design = cheapest(bench, options, limits, order)
        if design is not None:
            return Outcome(bench.segment, bench, options, sides, design, "", limits=limits, order=order)
    return Outcome(bench.segment, bench, options, sides, None, "something", bench.searched_whole)


def _attempts(bench: Bench, options: Sequence[Option]) -> Iterator[tuple[Limits, Order]]:
    """Give the limits to try, from the strictest to the most lenient."""
    lifts, unsure = lifts_of(bench.book), not all(option.bar.sure for option in options)
    guarded, _ = tightest_of(bench.segment, bench.book, guarded=True)
    yield Limits(guarded, lifts, True), "cost"
    if unsure:
        yield Limits(guarded, lifts, False), "cost"
    plain, _ = tightest_of(bench.segment, bench.book, guarded=False)
    yield Limits(plain, lifts, True), "low"
    if unsure:
        yield Limits(plain, lifts, False), "low"


def _nearest(outcome: Outcome) -> Outcome:
    """Find the nearest miss of a segment that has no design."""
    if outcome.miss != "something":
        return outcome
    bench, book = outcome.bench, outcome.bench.book
    highest, _ = tightest_of(outcome.segment, book, guarded=False)
    design, miss = _nearest_miss(bench, outcome.options, lifts_of(book), highest)
    return replace(outcome, design=design, miss=miss)


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


def _hindrance(
    bench: Bench, options: Sequence[Option], in_stock: bool, sides: Sequence[tuple[Carrier, SideChoice]]
) -> Miss:
    """Say what rules out every design before any is tried: parts, side, length of bars, places for two stations."""
    if sides and all(choice.side is None for _, choice in sides):
        return "side"
    if not options:
        return "parts"
    if not in_stock:
        return "long"
    return "" if any(_stations_stand(bench, option) for option in options) else "station"


def _stations_stand(bench: Bench, option: Option) -> bool:
    """Say whether two places lie within the overhang of either end."""
    bed, _ = bench.bed(option.bar)
    lead, tail = bed.places - bed.start, bed.end - bed.places
    first = (lead <= bed.overhang_max) & (lead >= bed.foot / 2)
    last = (tail <= bed.overhang_max) & (tail >= bed.foot / 2)
    return bool(first.any() and last.any() and np.flatnonzero(first)[0] < np.flatnonzero(last)[-1])
