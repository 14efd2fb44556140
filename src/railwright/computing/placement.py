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

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from railwright.computing.results import Array

Index = NDArray[np.intp]

_SLACK = 1e-9
"""Limits are met within this, mm."""
_FLAT = 1e-12
"""An influence smaller than this is none."""


@dataclass(frozen=True, slots=True)
class Bed:
    """What a segment of one width lies in, in the strings' own x.

    ``strings`` (m,) with ``forces`` (m,), the segment's ``start`` and ``end``, candidate ``places`` (q,) in rising order,
    ``settlement`` (q,) of each were a station there (mm, downward: its shim lies below the target line) and ``slope_left``
    (m,), the gap variation that the shims leave at every string, mm.
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


@dataclass(frozen=True, slots=True)
class Tables:
    """Per pair of places (row) what a span between them means for every string (column); unit stiffness and load."""

    first: Index
    second: Index
    pair_of: NDArray[np.intp]
    length: Array
    share: Array
    phi_first: Array
    phi_second: Array
    inside: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class _Integrals:
    """The loads' integral at strings and places (EI = 1): value, and for places slope and curvature; seen from both ends."""

    at_strings: Array
    at_places: Array
    slope: Array
    curvature: Array
    back_at_strings: Array
    back_at_places: Array
    back_slope: Array
    back_curvature: Array


def overlapping(bed: Bed) -> Tables:
    """Build the tables of all spans between two places."""
    q = bed.places.size
    first, second = np.triu_indices(q, 1)
    pair_of = np.zeros((q, q), dtype=np.intp)
    pair_of[first, second] = np.arange(first.size)
    length = bed.places[second] - bed.places[first]
    share = (bed.strings[None, :] - bed.places[first][:, None]) / length[:, None]
    inside = (share >= 0.0) & (share <= 1.0)
    scale = length[:, None] ** 2 / 6.0
    rest = 1.0 - share
    return Tables(first, second, pair_of, length, share, scale * (rest - rest**3), scale * (share - share**3), inside)


def integrals(bed: Bed, weight: float) -> _Integrals:
    """Integrate the loads from the bass end and from the treble end."""
    front = _integrated(bed.strings - bed.start, bed.places - bed.start, bed.forces, weight)
    back = _integrated((bed.end - bed.strings)[::-1], (bed.end - bed.places)[::-1], bed.forces[::-1], weight)
    return _Integrals(*front, back[0][::-1], back[1][::-1], -back[2][::-1], back[3][::-1])


def _integrated(strings: Array, places: Array, forces: Array, weight: float) -> tuple[Array, Array, Array, Array]:
    """Sum P <x - a>^3 / 6 + w x^4 / 24 at strings and places, and its first two derivatives at the places."""
    at_strings = np.maximum(strings[:, None] - strings[None, :], 0.0) ** 3 @ forces / 6.0 + weight * strings**4 / 24.0
    arm = np.maximum(places[:, None] - strings[None, :], 0.0)
    value = arm**3 @ forces / 6.0 + weight * places**4 / 24.0
    slope = arm**2 @ forces / 2.0 + weight * places**3 / 6.0
    curvature = arm @ forces + weight * places**2 / 2.0
    return at_strings, value, slope, curvature


@dataclass(slots=True)
class _Front:
    """Sets of first stations of one size: the last two (as a pair), the affine relation and interval, the set each grew from."""

    pair: Index
    alpha: Array
    beta: Array
    low: Array
    high: Array
    parent: Index


@dataclass(frozen=True, slots=True)
class Sets:
    """Admissible station sets of one size: ``chosen`` (r, n) places, ``off`` (r, m) the felt below its unbent level, mm."""

    chosen: Index
    off: Array

    @property
    def worst(self) -> Array:
        """Largest departure of the felt from its level in every set, shape (r,), mm."""
        return np.abs(self.off).max(axis=1)


class Search:
    """Grow station sets one station at a time and hand out those that are complete."""

    def __init__(
        self, bed: Bed, tables: Tables, ei: float, weight: float, window: tuple[float, float], most: int
    ) -> None:
        """Set up the search.

        Args:
            bed: where the segment lies.
            tables: its spans.
            ei: stiffness of the carrier, N mm2.
            weight: of carrier and felt, N/mm.
            window: how far the felt may be below its unbent level at a string, from and to, mm.
            most: give up when more sets than this must be carried along.
        """
        self.bed, self.tables, self.window, self.most = bed, tables, window, most
        self.loads = _scaled(integrals(bed, weight), ei)
        self.knots = bed.settlement - self.loads.at_places
        base = bed.slope_left + self.loads.at_strings
        share = tables.share
        self.base = (
            base + (1.0 - share) * self.knots[tables.first][:, None] + share * self.knots[tables.second][:, None]
        )
        self.fronts: list[_Front] = []
        self.size = 1
        self.complete = True

    def advance(self) -> Sets:
        """Take one station more and give the admissible sets of that size."""
        front = self._first() if self.size == 1 else self._grown()
        self.size += 1
        self.fronts.append(front)
        return self._finished(front)

    @property
    def alive(self) -> bool:
        """Whether a larger set may still be found."""
        return self.size < self.bed.places.size and (not self.fronts or self.fronts[-1].pair.size > 0)

    def _first(self) -> _Front:
        """All pairs of a first and a second station; the beam beyond the first hangs free, so its spline is straight."""
        bed, tables = self.bed, self.tables
        lead = bed.places - bed.start
        may = (lead <= bed.overhang_max + _SLACK) & (lead >= bed.foot / 2 - _SLACK)
        pair = np.flatnonzero(may[tables.first])
        nothing = np.zeros(pair.size)
        low, high = np.full(pair.size, -np.inf), np.full(pair.size, np.inf)
        front = _Front(pair, nothing, nothing, low, high, np.full(pair.size, -1, dtype=np.intp))
        return self._limited(front, self._lead_limits(pair))

    def _lead_limits(self, pair: Index) -> tuple[Array, Array, NDArray[np.bool_]]:
        """Constant and factor of the last second derivative for the strings before the first station."""
        bed, tables = self.bed, self.tables
        first, second = tables.first[pair], tables.second[pair]
        beyond = bed.strings[None, :] - bed.places[first][:, None]
        rise = (self.knots[second] - self.knots[first]) / tables.length[pair]
        constant = bed.slope_left + self.loads.at_strings + self.knots[first][:, None] + beyond * rise[:, None]
        return constant, -beyond * tables.length[pair][:, None] / 6.0, beyond < 0.0

    def _grown(self) -> _Front:
        """Add every later place to every set that may still be completed."""
        old, tables, q = self.fronts[-1], self.tables, self.bed.places.size
        last = tables.second[old.pair]
        counts = q - 1 - last
        parent = np.repeat(np.arange(last.size), counts)
        if parent.size > self.most:
            self.complete = False
            return _Front(*(np.empty(0, dtype=np.intp), *(np.empty(0) for _ in range(4)), np.empty(0, dtype=np.intp)))
        offset = np.arange(parent.size) - np.repeat(np.cumsum(counts) - counts, counts)
        pair = tables.pair_of[last[parent], last[parent] + 1 + offset]
        return self._limited(self._continued(old, parent, pair))

    def _continued(self, old: _Front, parent: Index, pair: Index) -> _Front:
        """Carry relation and interval over a station: the spline has one slope there."""
        tables, knots = self.tables, self.knots
        before = old.pair[parent]
        a, b = tables.length[before], tables.length[pair]
        rise_before = (knots[tables.second[before]] - knots[tables.first[before]]) / a
        rise = (knots[tables.second[pair]] - knots[tables.first[pair]]) / b
        pivot = a * old.beta[parent] / 6.0 + (a + b) / 3.0
        alpha = (rise - rise_before - a * old.alpha[parent] / 6.0) / pivot
        beta = -b / 6.0 / pivot
        low, high = (old.high[parent] - alpha) / beta, (old.low[parent] - alpha) / beta
        return _Front(pair, alpha, beta, low, high, parent)

    def _limited(self, front: _Front, more: tuple[Array, Array, NDArray[np.bool_]] | None = None) -> _Front:
        """Narrow every interval by the strings of the last span, and drop the sets that have none left."""
        tables, pair = self.tables, front.pair
        phi = tables.phi_first[pair]
        constant = self.base[pair] - phi * front.alpha[:, None]
        factor = -(phi * front.beta[:, None] + tables.phi_second[pair])
        low, high = self._interval(constant, factor, tables.inside[pair])
        low, high = np.maximum(low, front.low), np.minimum(high, front.high)
        if more is not None:
            extra = self._interval(*more)
            low, high = np.maximum(low, extra[0]), np.minimum(high, extra[1])
        keep = np.flatnonzero(low <= high)
        return _Front(pair[keep], front.alpha[keep], front.beta[keep], low[keep], high[keep], front.parent[keep])

    def _interval(self, constant: Array, factor: Array, inside: NDArray[np.bool_]) -> tuple[Array, Array]:
        """Interval of g in which window[0] <= constant + factor g <= window[1] holds at every string inside."""
        lower, upper = self.window[0] - _SLACK - constant, self.window[1] + _SLACK - constant
        flat = np.abs(factor) < _FLAT
        divisor = np.where(flat, 1.0, factor)
        one, two = lower / divisor, upper / divisor
        met = (lower <= 0.0) & (upper >= 0.0)
        low = np.where(flat, np.where(met, -np.inf, np.inf), np.minimum(one, two))
        high = np.where(flat, np.where(met, np.inf, -np.inf), np.maximum(one, two))
        low, high = np.where(inside, low, -np.inf), np.where(inside, high, np.inf)
        return low.max(axis=1, initial=-np.inf), high.min(axis=1, initial=np.inf)

    def _finished(self, front: _Front) -> Sets:
        """The sets whose last station lies near enough to the treble end, with the loads beyond it, and still fit."""
        bed, tables, loads = self.bed, self.tables, self.loads
        last = tables.second[front.pair]
        tail = bed.end - bed.places[last]
        bend = loads.back_curvature[last] - loads.curvature[last]
        slack = _SLACK * (1.0 + np.abs(bend))
        may = (tail <= bed.overhang_max + _SLACK) & (tail >= bed.foot / 2 - _SLACK)
        done = np.flatnonzero(may & (bend >= front.low - slack) & (bend <= front.high + slack))
        chosen, off = self._unrolled(done, bend[done])
        fits = ((off >= self.window[0] - 2 * _SLACK) & (off <= self.window[1] + 2 * _SLACK)).all(axis=1)
        return Sets(chosen[fits], off[fits])

    def _unrolled(self, done: Index, bend: Array) -> tuple[Index, Array]:
        """Walk back from the last station and write down every string's departure."""
        bed, tables = self.bed, self.tables
        chosen = np.zeros((done.size, self.size), dtype=np.intp)
        front = self.fronts[-1]
        off = self._beyond_last(front, done, bend)
        at, after = done, bend
        for level in range(len(self.fronts) - 1, -1, -1):
            front = self.fronts[level]
            pair = front.pair[at]
            chosen[:, level + 1] = tables.second[pair]
            here = front.alpha[at] + front.beta[at] * after
            span = self.base[pair] - tables.phi_first[pair] * here[:, None] - tables.phi_second[pair] * after[:, None]
            off = np.where(tables.inside[pair], span, off)
            if level == 0:
                chosen[:, 0] = tables.first[pair]
                constant, factor, before = self._lead_limits(pair)
                off = np.where(before, constant + factor * after[:, None], off)
            at, after = front.parent[at], here
        return chosen, off

    def _beyond_last(self, front: _Front, done: Index, bend: Array) -> Array:
        """Departure of the strings beyond the last station: a cantilever on the slope that the last span leaves."""
        bed, tables, loads, knots = self.bed, self.tables, self.loads, self.knots
        pair = front.pair[done]
        first, last, length = tables.first[pair], tables.second[pair], tables.length[pair]
        before = front.alpha[done] + front.beta[done] * bend
        slope = loads.slope[last] + (knots[last] - knots[first]) / length + length * (before + 2.0 * bend) / 6.0
        start = bed.settlement[last] - loads.back_at_places[last]
        arm = bed.strings[None, :] - bed.places[last][:, None]
        straight = start[:, None] + arm * (slope - loads.back_slope[last])[:, None]
        return bed.slope_left + loads.back_at_strings + straight


def _scaled(unit: _Integrals, ei: float) -> _Integrals:
    return _Integrals(
        unit.at_strings / ei,
        unit.at_places / ei,
        unit.slope / ei,
        unit.curvature / ei,
        unit.back_at_strings / ei,
        unit.back_at_places / ei,
        unit.back_slope / ei,
        unit.back_curvature / ei,
    )
