"""A uniform load on two supports bends least when they stand 0.2232 L from the ends.

Known from measuring bars: the places of least overall deflection (0.2232 L; the Airy points 0.2113 L are others). The
expected number follows here from closed forms of the overhanging beam, not from the code under test.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from railwright.computing.beam import Beam, bend
from railwright.computing.placement import Bed, Budget, Search, spans_of


def closed_form(share: float) -> float:
    """Share of the length at which end and middle sag alike (w = L = EI = 1, supports ``share`` from the ends).

    Overhang a, span s = 1 - 2 a: middle 5 s4 / 384 - a2 s2 / 16, end a4 / 8 + a (a2 s / 4 - s3 / 24) below them.
    """
    a, s = share, 1 - 2 * share
    middle = 5 * s**4 / 384 - a**2 * s**2 / 16
    end = a**4 / 8 + a * (a**2 * s / 4 - s**3 / 24)
    return middle - end


def test_closed_form_gives_the_known_place():
    assert brentq(closed_form, 0.2, 0.25) == pytest.approx(0.2232, abs=1e-4)


def test_direct_stiffness_bends_least_there():
    def worst(share: float) -> float:
        stations = np.array([share, 1 - share]) * 1000.0
        points = np.linspace(0.0, 1000.0, 41)
        deflection = bend(Beam(0.0, 1000.0, 1e6, 0.01, stations, np.zeros(2)), points, np.zeros(41)).deflection
        return float(np.abs(deflection - deflection.min()).max())

    shares = np.arange(0.215, 0.232, 0.0005)
    assert shares[int(np.argmin([worst(share) for share in shares]))] == pytest.approx(0.2232, abs=0.0006)


def test_station_search_finds_the_place():
    """101 equal loads on a bar of 1010 mm, stations 2 mm apart: the most level set is 0.2232 L in."""
    strings = np.arange(5.0, 1010.0, 10.0)
    places = np.arange(200.0, 812.0, 2.0)
    places = np.concatenate([places[places < 250.0], places[places > 760.0]])
    count = places.size
    bed = Bed(strings, np.ones(101), 0.0, 1010.0, places, np.zeros(count), np.zeros(101), 5.0, 300.0)
    sets = Search(bed, spans_of(bed), 1e9, 0.0, (-5.0, 5.0), Budget(10**8)).sets(2)
    assert sets is not None
    spread = sets.off.max(axis=1) - sets.off.min(axis=1)
    best = places[sets.chosen[int(spread.argmin())]]
    assert best[0] / 1010.0 == pytest.approx(0.2232, abs=0.003)
    assert 1.0 - best[1] / 1010.0 == pytest.approx(0.2232, abs=0.003)
