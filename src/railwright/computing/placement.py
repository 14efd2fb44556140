"""Where to put the stations: every set of stations that keeps the felt's pressing within its window, and no other.

Between its stations a loaded beam is a known function (the loads' own fourth integral) plus a cubic spline. The spline
runs through the settlements of the stations, and its second derivative is known beyond both end stations; written from
the bass, the second derivative at the last station but one is an affine function of that at the last one (the forward
half of the elimination that solves every continuous beam). Each string of a finished span then limits the second
derivative at the last station to an interval, and a set of first stations whose interval is empty can be left, with
everything that could follow it: whatever stands to the treble, some string in it cannot be pressed as it must. What
survives to the end is every admissible set, so the best of them is the best there is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from railwright.computing.results import Array

Index = NDArray[np.intp]
Flags = NDArray[np.bool_]

_SLACK = 1e-9
"""Limits are met within this, mm."""
_TINY = 1e-13
"""Stands for an influence of nothing, so that it can be divided by."""
_THIN = 1000
"""Sets that are carried on once there are too many to carry all."""
_CHUNK = 4096
"""Sets looked at in one go; enough to be quick, few enough to stay in the processor's cache."""


@dataclass(frozen=True, slots=True)
class Bed:
    """What a segment of one width lies in, in the strings' own x.

    ``strings`` (m,) with ``forces`` (m,), the segment's ``start`` and ``end``, candidate ``places`` (q,) in rising
    order, ``settlement`` (q,) of each were a station there (mm, downward: its shim lies below the target line) and
    ``slope_left`` (m,), the gap variation that the shims leave at every string, mm.
    """

    strings: Array
    forces: Array
    start: float
    end: float
    places: Array
    settlement: Array
    slope_left: Array
    foot: float
    overhang_max: float

    def may_lead(self) -> Flags:
        """Say which places may hold the first station."""
        lead = self.places - self.start
        return (lead <= self.overhang_max + _SLACK) & (lead >= self.foot / 2 - _SLACK)

    def may_close(self) -> Flags:
        """Say which places may hold the last station."""
        tail = self.end - self.places
        return (tail <= self.overhang_max + _SLACK) & (tail >= self.foot / 2 - _SLACK)


class Integrals(NamedTuple):
    """The loads' fourth integral at strings and places, its slope and curvature at places, from the bass and back."""

    at_strings: Array
    at_places: Array
    slope: Array
    curvature: Array
    back_at_strings: Array
    back_at_places: Array
    back_slope: Array
    back_curvature: Array


@dataclass(frozen=True, slots=True)
class Spans:
    """All spans between two places, one a row, and the integrals of the loads that bend them.

    ``number`` finds the row of two places; ``begin`` and ``count`` say which strings stand over a span.
    """

    first: Index
    second: Index
    number: Index
    length: Array
    begin: Index
    count: Index
    by_strings: Integrals
    by_weight: Integrals


class Front(NamedTuple):
    """Sets of first stations of one size.

    ``pair`` is the last span, ``alpha + beta g`` the second derivative at the last station but one where g is that at
    the last, ``low`` and ``high`` what g may be, and ``parent`` the set of one station less.
    """

    pair: Index
    alpha: Array
    beta: Array
    low: Array
    high: Array
    parent: Index

    def only(self, rows: Index) -> Front:
        """Keep some of the sets."""
        return Front(
            self.pair[rows], self.alpha[rows], self.beta[rows], self.low[rows], self.high[rows], self.parent[rows]
        )


class Sets(NamedTuple):
    """Admissible station sets of one size: ``chosen`` (r, n) places, ``off`` (r, m) how far the felt bends down, mm."""

    chosen: Index
    off: Array

    @property
    def worst(self) -> Array:
        """Largest departure of the felt from its level in every set, shape (r,), mm."""
        largest: Array = np.abs(self.off).max(axis=1)
        return largest


@dataclass(slots=True)
class Budget:
    """How many strings of station sets may still be looked at in full, and how many in one step.

    A search that would go beyond thins out; once it has spent as much again, it stops.
    """

    whole: int
    step: int = 4_000_000
    spent: int = 0

    def allows(self, strings: int) -> bool:
        """Say whether so many may be looked at in full."""
        return strings <= min(self.whole - self.spent, self.step)

    def spend(self, strings: int) -> None:
        """Note what was looked at."""
        self.spent += strings

    @property
    def gone(self) -> bool:
        """Whether nothing more may be looked at."""
        return self.spent >= 2 * self.whole


def spans_of(bed: Bed) -> Spans:
    """List all spans between two places and integrate the loads once for every bar that may lie there."""
    q = bed.places.size
    first, second = np.triu_indices(q, 1)
    number = np.zeros((q, q), dtype=np.intp)
    number[first, second] = np.arange(first.size)
    begin = np.searchsorted(bed.strings, bed.places, side="left")
    end = np.searchsorted(bed.strings, bed.places, side="right")
    length, count = bed.places[second] - bed.places[first], end[second] - begin[first]
    return Spans(first, second, number, length, begin[first], count, *integrals_of(bed))


def integrals_of(bed: Bed) -> tuple[Integrals, Integrals]:
    """Integrate the strings' forces, and a weight of 1, four times from both ends, for a stiffness of 1."""
    ahead = bed.strings - bed.start, bed.places - bed.start
    back = (bed.end - bed.strings)[::-1], (bed.end - bed.places)[::-1]
    by_strings = _both_ways(_forces_integrated(*ahead, bed.forces), _forces_integrated(*back, bed.forces[::-1]))
    return by_strings, _both_ways(_weight_integrated(*ahead), _weight_integrated(*back))


_OneWay = tuple[Array, Array, Array, Array]


def _both_ways(ahead: _OneWay, back: _OneWay) -> Integrals:
    return Integrals(*ahead, back[0][::-1], back[1][::-1], -back[2][::-1], back[3][::-1])


def _forces_integrated(strings: Array, places: Array, forces: Array) -> _OneWay:
    """Sum P <x - a>^3 / 6 at strings and places, and its first two derivatives at the places."""
    between = np.maximum(strings[:, None] - strings[None, :], 0.0)
    arm = np.maximum(places[:, None] - strings[None, :], 0.0)
    square = arm * arm
    at_strings = (between * between * between) @ forces / 6.0
    return at_strings, (square * arm) @ forces / 6.0, square @ forces / 2.0, arm @ forces


def _weight_integrated(strings: Array, places: Array) -> _OneWay:
    """Give x^4 / 24 at strings and places, and its first two derivatives at the places."""
    return strings**4 / 24.0, places**4 / 24.0, places**3 / 6.0, places**2 / 2.0


def _together(strings: Integrals, own: Integrals, weight: float, ei: float) -> Integrals:
    """Add the loads of the strings and of the bar's weight (N/mm) on a bar of stiffness EI (N mm2)."""

    def both(one: Array, two: Array) -> Array:
        return (one + weight * two) / ei

    return Integrals(
        both(strings.at_strings, own.at_strings),
        both(strings.at_places, own.at_places),
        both(strings.slope, own.slope),
        both(strings.curvature, own.curvature),
        both(strings.back_at_strings, own.back_at_strings),
        both(strings.back_at_places, own.back_at_places),
        both(strings.back_slope, own.back_slope),
        both(strings.back_curvature, own.back_curvature),
    )


def _by_first(good: Flags, spans: Spans, places: int) -> tuple[Index, Index]:
    """List the good spans by their first place, and where each place's begin in the list."""
    pairs = np.flatnonzero(good)
    return pairs, np.searchsorted(spans.first[pairs], np.arange(places + 1))


def _joined(parts: Sequence[Front]) -> Front:
    """Put fronts of one size together."""
    if not parts:
        none, nothing = np.empty(0, dtype=np.intp), np.empty(0)
        return Front(none, nothing, nothing, nothing, nothing, none)
    whole = [(part.pair, part.alpha, part.beta, part.low, part.high, part.parent) for part in parts]
    pair, alpha, beta, low, high, parent = (np.concatenate(column) for column in zip(*whole, strict=True))
    return Front(pair, alpha, beta, low, high, parent)


class Shape(NamedTuple):
    """What spans (rows) are to strings (columns), mm: ``base`` is the departure were the spline straight in the span.

    ``phi_first`` and ``phi_second`` are what a unit second derivative at either end takes away from it.
    """

    base: Array
    phi_first: Array
    phi_second: Array


class Search:
    """Grow station sets one station at a time and hand out those that are complete."""

    def __init__(
        self, bed: Bed, spans: Spans, ei: float, weight: float, window: tuple[float, float], budget: Budget
    ) -> None:
        """Set up the search.

        Args:
            bed: where the segment lies.
            spans: its spans.
            ei: stiffness of the carrier, N mm2.
            weight: of carrier and felt, N/mm.
            window: how far the felt may be below its unbent level at a string, from and to, mm.
            budget: how many sets may be looked at; shared by the searches of a segment.
        """
        self.bed, self.spans, self.window, self.budget = bed, spans, window, budget
        self.loads = _together(spans.by_strings, spans.by_weight, weight, ei)
        self.knots = bed.settlement - self.loads.at_places
        self.bent = bed.slope_left + self.loads.at_strings
        self.onward: tuple[Index, Index] | None = None
        self.fronts: list[Front] = []
        self.found: dict[int, Sets | None] = {}
        self.complete = True

    def sets(self, stations: int) -> Sets | None:
        """Give every admissible set of so many stations; ``None`` where there is none of this size or larger."""
        if stations not in self.found:
            self.found[stations] = self._sets(stations)
        return self.found[stations]

    def _sets(self, stations: int) -> Sets | None:
        if self.budget.gone:
            self.complete = False
            return None
        self.budget.spend(self.spans.first.size * self.bed.strings.size)
        if stations == 2:
            return self._closed(self._pairs(self.bed.may_close()), ())
        if stations == 3:
            return self._closed_from(self._front(2), ())
        whole = self._front(stations - 2)
        if whole is None or whole.pair.size == 0:
            return None
        return self._closed_from(self._grown(whole, self._before_last()), self.fronts[: stations - 3])

    def _closed_from(self, before: Front | None, earlier: Sequence[Front]) -> Sets | None:
        """Close sets of first stations with every last station that may follow."""
        if before is None:
            return None
        last = np.flatnonzero(self.bed.may_close())
        parent, second = (grid.ravel() for grid in np.meshgrid(np.arange(before.pair.size), last, indexing="ij"))
        later = second > self.spans.second[before.pair[parent]]
        closing = self._continued(before, parent[later], second[later])
        return self._closed(closing, (*earlier, before))

    def _before_last(self) -> Flags:
        """Say which places may hold the last station but one: some last span from there can be held as it must."""
        pair = np.flatnonzero(self.bed.may_close()[self.spans.second])
        bend = self._bend(self.spans.second[pair])
        shape, inside, nothing = self._shape(pair), self._within(pair), np.zeros(pair.size)
        span = shape.base - shape.phi_second * bend[:, None]
        constant = np.where(inside, span, self._beyond(pair, nothing, bend))
        arm = self.bed.strings[None, :] - self.bed.places[self.spans.second[pair]][:, None]
        factor = np.where(inside, -shape.phi_first, arm * self.spans.length[pair][:, None] / 6.0)
        matters = inside | (arm > 0.0)
        low, high = self._interval(np.where(matters, constant, sum(self.window) / 2), np.where(matters, factor, 0.0))
        places = np.zeros(self.bed.places.size, dtype=np.bool_)
        places[self.spans.first[pair[low <= high]]] = True
        return places

    def _bend(self, last: Index) -> Array:
        """Second derivative at the last station: what the loads beyond it leave."""
        bend: Array = self.loads.back_curvature[last] - self.loads.curvature[last]
        return bend

    def _holdable(self) -> Flags:
        """Say which spans any second derivatives at their ends could hold within the window.

        Three strings of a span fix a combination of departures that the two derivatives do not change; where it lies
        beyond what the window allows, no stations elsewhere can help.
        """
        spans, strings = self.spans, self.bed.strings.size
        fifths = np.arange(5)
        columns = np.minimum(spans.begin[:, None] + (spans.count[:, None] - 1) * fifths // 4, strings - 1)
        shape = self._shape(np.arange(spans.first.size), np.maximum(columns, 0))
        good: Flags = spans.count < 5
        fits = [self._combination_fits(shape, *triple) for triple in ((0, 2, 4), (1, 2, 3), (0, 1, 3), (1, 3, 4))]
        for each in fits[1:]:
            fits[0] &= each
        return good | fits[0]

    def _combination_fits(self, shape: Shape, a: int, b: int, c: int) -> Flags:
        one, two = shape.phi_first, shape.phi_second
        factors = np.stack(
            [
                one[:, b] * two[:, c] - one[:, c] * two[:, b],
                one[:, c] * two[:, a] - one[:, a] * two[:, c],
                one[:, a] * two[:, b] - one[:, b] * two[:, a],
            ]
        )
        total = (factors * shape.base[:, [a, b, c]].T).sum(axis=0)
        low, high = factors * (self.window[0] - 2 * _SLACK), factors * (self.window[1] + 2 * _SLACK)
        fits: Flags = (total >= np.minimum(low, high).sum(axis=0)) & (total <= np.maximum(low, high).sum(axis=0))
        return fits

    def _front(self, stations: int) -> Front | None:
        """Give the sets of so many first stations, grown as needed; ``None`` beyond the number of places."""
        if stations > self.bed.places.size:
            return None
        while len(self.fronts) < stations - 1:
            self.fronts.append(self._first() if not self.fronts else self._grown(self.fronts[-1]))
        return self.fronts[stations - 2]

    def _pairs(self, may_second: Flags) -> Front:
        """Spans between first and second station; the beam beyond the first hangs free, so its spline is straight."""
        pair = np.flatnonzero(self.bed.may_lead()[self.spans.first] & may_second[self.spans.second])
        constant, factor, before = self._lead(pair)
        low, high = self._interval(np.where(before, constant, sum(self.window) / 2), np.where(before, factor, 0.0))
        nothing, none = np.zeros(pair.size), np.full(pair.size, -1, dtype=np.intp)
        return Front(pair, nothing, nothing, low, high, none)

    def _first(self) -> Front:
        return self._narrowed(self._pairs(np.ones(self.bed.places.size, dtype=np.bool_)))

    def _lead(self, pair: Index) -> tuple[Array, Array, Flags]:
        """Departure of the strings before the first station: constant, and factor of the second one's derivative."""
        first, second, length = self.spans.first[pair], self.spans.second[pair], self.spans.length[pair]
        beyond = self.bed.strings[None, :] - self.bed.places[first][:, None]
        rise = (self.knots[second] - self.knots[first]) / length
        constant = self.bent + self.knots[first][:, None] + beyond * rise[:, None]
        return constant, -beyond * length[:, None] / 6.0, beyond < 0.0

    def _grown(self, old: Front, seconds: Flags | None = None) -> Front:
        """Add every later place (or those asked for) to every set that may still be completed."""
        parent, pair = self._offspring(old, seconds)
        if not self.budget.allows(parent.size * self.bed.strings.size):
            self.complete = False
            kept = self._thinned(old)[parent]
            parent, pair = parent[kept], pair[kept]
        self.budget.spend(parent.size * self.bed.strings.size)
        second = self.spans.second[pair]
        some = [slice(at, at + _CHUNK) for at in range(0, parent.size, _CHUNK)]
        return _joined([self._narrowed(self._continued(old, parent[part], second[part])) for part in some])

    def _offspring(self, old: Front, seconds: Flags | None) -> tuple[Index, Index]:
        """List the sets to grow, by the set that they grow from and the span that they add."""
        if self.onward is None:
            self.onward = _by_first(self._holdable(), self.spans, self.bed.places.size)
        pairs, begin = self.onward
        last = self.spans.second[old.pair]
        counts = begin[last + 1] - begin[last]
        parent = np.repeat(np.arange(last.size), counts)
        pair = pairs[begin[last][parent] + np.arange(parent.size) - np.repeat(np.cumsum(counts) - counts, counts)]
        if seconds is None:
            return parent, pair
        wanted = seconds[self.spans.second[pair]]
        return parent[wanted], pair[wanted]

    def _thinned(self, front: Front) -> Flags:
        """Keep, of the sets that end at one place, the few with the most freedom left; the search is no proof then."""
        last, freedom = self.spans.second[front.pair], np.minimum(front.high - front.low, 1e300)
        order = np.lexsort((-freedom, last))
        place, begin = np.unique(last[order], return_index=True)
        rank = np.arange(order.size) - np.repeat(begin, np.diff(np.append(begin, order.size)))
        kept: Flags = np.zeros(order.size, dtype=np.bool_)
        kept[order[rank < max(_THIN // max(place.size, 1), 1)]] = True
        return kept

    def _continued(self, old: Front, parent: Index, second: Index) -> Front:
        """Carry relation and interval over a station: the spline has one slope there."""
        spans, knots = self.spans, self.knots
        before = old.pair[parent]
        pair = spans.number[spans.second[before], second]
        a, b = spans.length[before], spans.length[pair]
        rise_before = (knots[spans.second[before]] - knots[spans.first[before]]) / a
        rise = (knots[second] - knots[spans.first[pair]]) / b
        pivot = a * old.beta[parent] / 6.0 + (a + b) / 3.0
        alpha = (rise - rise_before - a * old.alpha[parent] / 6.0) / pivot
        beta = -b / 6.0 / pivot
        return Front(pair, alpha, beta, (old.high[parent] - alpha) / beta, (old.low[parent] - alpha) / beta, parent)

    def _narrowed(self, front: Front) -> Front:
        """Narrow every interval by the strings of the last span, and drop the sets that have none left."""
        front = front.only(np.flatnonzero(front.low <= front.high))
        columns, inside = self._inside(front.pair)
        shape = self._shape(front.pair, columns)
        constant = shape.base - shape.phi_first * front.alpha[:, None]
        factor = -(shape.phi_first * front.beta[:, None] + shape.phi_second)
        low, high = self._interval(np.where(inside, constant, sum(self.window) / 2), np.where(inside, factor, 0.0))
        low, high = np.maximum(low, front.low), np.minimum(high, front.high)
        narrowed = Front(front.pair, front.alpha, front.beta, low, high, front.parent)
        return narrowed.only(np.flatnonzero(low <= high))

    def _inside(self, pair: Index) -> tuple[Index, Flags]:
        """Columns of the strings inside each span, padded to the longest, and which of them count."""
        begin, count = self.spans.begin[pair], self.spans.count[pair]
        offset = np.arange(count.max(initial=0))
        columns = np.minimum(begin[:, None] + offset, self.bed.strings.size - 1)
        return columns, offset < count[:, None]

    def _interval(self, constant: Array, factor: Array) -> tuple[Array, Array]:
        """Interval of g in which window[0] <= constant + factor g <= window[1] holds in every column."""
        divisor = np.where(np.abs(factor) < _TINY, _TINY, factor)
        one = (self.window[0] - _SLACK - constant) / divisor
        two = (self.window[1] + _SLACK - constant) / divisor
        low = np.minimum(one, two).max(axis=1, initial=-np.inf)
        return low, np.maximum(one, two).min(axis=1, initial=np.inf)

    def _closed(self, front: Front, earlier: Sequence[Front]) -> Sets:
        """Keep the sets that are complete: the loads beyond the last station settle what was open."""
        bend = self._bend(self.spans.second[front.pair])
        slack = _SLACK * (1.0 + np.abs(bend))
        done = np.flatnonzero((bend >= front.low - slack) & (bend <= front.high + slack))
        self.budget.spend(done.size * self.bed.strings.size)
        some = [done[at : at + _CHUNK] for at in range(0, done.size, _CHUNK)]
        held = [part[self._last_held(front.only(part), bend[part])] for part in some]
        kept = np.concatenate([*held, np.empty(0, dtype=np.intp)])
        if kept.size == 0:
            stations = len(earlier) + 2
            return Sets(np.empty((0, stations), dtype=np.intp), np.empty((0, self.bed.strings.size)))
        chosen, off = self._unrolled(front.only(kept), bend[kept], earlier)
        return Sets(chosen, off)

    def _last_held(self, front: Front, bend: Array) -> Flags:
        """Say which sets keep the strings of their last span, and those beyond it, within the window."""
        here = front.alpha + front.beta * bend
        columns, inside = self._inside(front.pair)
        shape = self._shape(front.pair, columns)
        span = shape.base - shape.phi_first * here[:, None] - shape.phi_second * bend[:, None]
        last = self.bed.places[self.spans.second[front.pair]]
        outer = int(np.searchsorted(self.bed.strings, last.min(initial=np.inf)))
        after = self._beyond(front.pair, here, bend)[:, outer:]
        counts = self.bed.strings[None, outer:] > last[:, None]
        held: Flags = np.concatenate([self._allowed(span) | ~inside, self._allowed(after) | ~counts], axis=1)
        return np.asarray(held.all(axis=1), dtype=np.bool_)

    def _allowed(self, off: Array) -> Flags:
        allowed: Flags = (off >= self.window[0] - 2 * _SLACK) & (off <= self.window[1] + 2 * _SLACK)
        return allowed

    def _unrolled(self, front: Front, bend: Array, earlier: Sequence[Front]) -> tuple[Index, Array]:
        """Walk back from the last station through the fronts that a set grew through; write down every departure."""
        off = self._beyond(front.pair, front.alpha + front.beta * bend, bend)
        chosen = [self.spans.second[front.pair]]
        for before in (*reversed(earlier), None):
            here = front.alpha + front.beta * bend
            off = np.where(self._within(front.pair), self._span(front.pair, here, bend), off)
            chosen.append(self.spans.first[front.pair])
            if before is not None:
                front, bend = before.only(front.parent), here
        constant, factor, ahead = self._lead(front.pair)
        off = np.where(ahead, constant + factor * bend[:, None], off)
        return np.stack(chosen[::-1], axis=1), off

    def _shape(self, pair: Index, columns: Index | None = None) -> Shape:
        """Work out what spans are to strings; without columns, to all of them."""
        spans, knots = self.spans, self.knots
        every = columns is None
        strings = self.bed.strings[None, :] if every else self.bed.strings[columns]
        bent = self.bent[None, :] if every else self.bent[columns]
        first, length = spans.first[pair], spans.length[pair][:, None]
        share = (strings - self.bed.places[first][:, None]) / length
        rest, scale = 1.0 - share, length * length / 6.0
        start = knots[first][:, None]
        base = bent + start + share * (knots[spans.second[pair]][:, None] - start)
        return Shape(base, scale * rest * (1.0 - rest * rest), scale * share * (1.0 - share * share))

    def _within(self, pair: Index) -> Flags:
        """Say which strings stand over which spans."""
        column, begin = np.arange(self.bed.strings.size), self.spans.begin[pair][:, None]
        return (column >= begin) & (column < begin + self.spans.count[pair][:, None])

    def _span(self, pair: Index, before: Array, after: Array) -> Array:
        shape = self._shape(pair)
        return shape.base - shape.phi_first * before[:, None] - shape.phi_second * after[:, None]

    def _beyond(self, pair: Index, before: Array, bend: Array) -> Array:
        """Departure of the strings beyond the last station: a cantilever on the slope that the last span leaves."""
        spans, loads, knots = self.spans, self.loads, self.knots
        first, last, length = spans.first[pair], spans.second[pair], spans.length[pair]
        slope = loads.slope[last] + (knots[last] - knots[first]) / length + length * (before + 2.0 * bend) / 6.0
        start = self.bed.settlement[last] - loads.back_at_places[last]
        arm = self.bed.strings[None, :] - self.bed.places[last][:, None]
        straight = start[:, None] + arm * (slope - loads.back_slope[last])[:, None]
        return self.bed.slope_left + loads.back_at_strings + straight
