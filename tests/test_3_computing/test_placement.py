"""The search for station sets against bending every set by direct stiffness."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from railwright.computing.beam import Beam, bend
from railwright.computing.placement import Bed, Budget, Search, spans_of


def random_bed(seed: int, strings: int, overhang: float = 60.0) -> Bed:
    rng = np.random.default_rng(seed)
    at = np.cumsum(rng.uniform(12.0, 15.0, strings))
    places = (at[:-1] + at[1:]) / 2 + rng.uniform(-3.0, 3.0)
    settlement, left = rng.uniform(-0.05, 0.05, strings - 1), rng.uniform(0.0, 0.02, strings)
    start, end = float(at[0]) - 5.0, float(at[-1]) + 6.0
    return Bed(at, rng.uniform(0.6, 3.6, strings), start, end, places, settlement, left, 5.0, overhang)


def bent(bed: Bed, chosen: tuple[int, ...], ei: float, weight: float) -> np.ndarray:
    rows = list(chosen)
    beam = Beam(bed.start, bed.end, ei, weight, bed.places[rows], bed.settlement[rows])
    return bed.slope_left + bend(beam, bed.strings, bed.forces).deflection


def every_set(bed: Bed, size: int):
    for chosen in itertools.combinations(range(bed.places.size), size):
        lead, tail = bed.places[chosen[0]] - bed.start, bed.end - bed.places[chosen[-1]]
        if bed.foot / 2 <= min(lead, tail) and max(lead, tail) <= bed.overhang_max:
            yield chosen


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("window", [(-0.2, 0.3), (-0.05, 0.15), (0.3, 0.9)])
def test_exactly_the_admissible_sets(seed, window):
    """Of every size the same sets as by trying all, each with the departures that direct stiffness gives."""
    bed, ei, weight = random_bed(seed, 8), 4e5, 0.0015
    search = Search(bed, spans_of(bed), ei, weight, window, Budget(10**8))
    for size in range(2, 8):
        sets = search.sets(size)
        found = {} if sets is None else {tuple(map(int, c)): off for c, off in zip(sets.chosen, sets.off, strict=True)}
        tried = {chosen: bent(bed, chosen, ei, weight) for chosen in every_set(bed, size)}
        wanted = {c: off for c, off in tried.items() if off.min() >= window[0] and off.max() <= window[1]}
        assert set(found) == set(wanted)
        for chosen, off in wanted.items():
            assert found[chosen] == pytest.approx(off, abs=1e-8)
    assert search.complete


def test_sizes_may_be_asked_in_any_order():
    bed = random_bed(3, 9)
    forward, backward = (Search(bed, spans_of(bed), 4e5, 0.0, (-0.2, 0.3), Budget(10**8)) for _ in range(2))
    sizes = range(2, 7)
    one = {size: forward.sets(size) for size in sizes}
    two = {size: backward.sets(size) for size in reversed(sizes)}
    assert all(np.array_equal(one[size].chosen, two[size].chosen) for size in sizes)


def test_a_window_that_nothing_meets():
    """Every string stands within a pitch of some station or beyond, so all cannot sag a millimetre."""
    bed = random_bed(5, 10)
    search = Search(bed, spans_of(bed), 4e5, 0.0, (1.0, 1.5), Budget(10**8))
    assert search.sets(2).chosen.shape == (0, 2)
    assert search.sets(3) is None or search.sets(3).chosen.size == 0


def test_more_stations_than_places():
    bed = random_bed(7, 4)
    assert Search(bed, spans_of(bed), 4e5, 0.0, (-1.0, 1.0), Budget(10**8)).sets(9) is None


def test_giving_up_is_said():
    """A search that may look at few sets only does not claim to have seen all."""
    bed = random_bed(9, 14)
    whole, hurried = (Search(bed, spans_of(bed), 4e5, 0.0, (-0.5, 0.5), Budget(most)) for most in (10**8, 600))
    every, some = whole.sets(5), hurried.sets(5)
    assert whole.complete
    assert not hurried.complete
    assert set(map(tuple, some.chosen.tolist())) <= set(map(tuple, every.chosen.tolist()))


@pytest.mark.parametrize(("overhang", "some"), [(11.9, False), (12.1, True)])
def test_overhang_one_step_each_side(overhang, some):
    """The nearest places stand 12 mm from either end."""
    strings = np.arange(5.0, 100.0, 14.0)
    places = (strings[:-1] + strings[1:]) / 2
    bed = Bed(strings, np.ones(7), 0.0, float(places[-1]) + 12.0, places, np.zeros(6), np.zeros(7), 5.0, overhang)
    sets = Search(bed, spans_of(bed), 1e7, 0.0, (-1.0, 1.0), Budget(10**6)).sets(2)
    assert (sets.chosen.shape[0] > 0) is some
