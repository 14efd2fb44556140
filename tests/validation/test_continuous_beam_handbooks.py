"""Continuous beams under uniform load against handbook coefficients.

AISC Manual and LRFD tables (5 w L4 / 384 E I; 1/384; two spans, one loaded), Lindeburg CERM and Hicks, Civil
Engineering Formulas, p. 66 (0.0054) and table 2.1, p. 96 (shears of four and five spans), and the beam tables of
piping-designer.com (2396 to 2405). Exact fractions follow from the three-moment equation;
four programs agree with them.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from railwright.computing.beam import Beam, bend
from railwright.computing.profiles import weight_per_mm

E_I = 68_900.0 * 1000.0
WEIGHT = 0.01


def uniform(spans: list[float], ei: float = 1.0, weight: float = 1.0, per_span: int = 40):
    """Reactions, and deflections on a grid in every span, of a beam that ends on its outer stations."""
    stations = np.concatenate([[0.0], np.cumsum(spans)])
    beam = Beam(0.0, float(stations[-1]), ei, weight, stations, np.zeros_like(stations))
    reactions = bend(beam, stations, np.zeros_like(stations)).reactions
    grid = [np.linspace(a, b, per_span + 1) for a, b in itertools.pairwise(stations)]
    return reactions, [bend(beam, points, np.zeros_like(points)).deflection for points in grid]


def most(deflection: np.ndarray) -> float:
    """Largest downward deflection: the peak of the parabola through the greatest grid value and its neighbours."""
    i = int(np.clip(deflection.argmax(), 1, deflection.size - 2))
    left, middle, right = deflection[i - 1 : i + 2]
    return float(middle + (right - left) ** 2 / (8.0 * (2.0 * middle - left - right)))


def at(spans: list[float], x: float) -> float:
    """Deflection at one place, w = EI = 1."""
    stations = np.concatenate([[0.0], np.cumsum(spans)])
    beam = Beam(0.0, float(stations[-1]), 1.0, 1.0, stations, np.zeros_like(stations))
    return float(bend(beam, np.array([x]), np.zeros(1)).deflection[0])


@pytest.mark.parametrize(
    ("spans", "x", "coefficient"),
    [
        (1, 0.5, 5 / 384),
        (2, (1 + math.sqrt(33)) / 16, (39 + 55 * math.sqrt(33)) / 65536),
        (3, 0.446_037, 0.006_884_213),
        (3, 1.5, 1 / 1920),
        (4, 0.439_71, 0.006_460_376),
        (4, 1.541_15, 0.001_890_821),
        (5, 0.441_43, 0.006_571_609),
        (5, 1.5, None),
        (5, 2.5, 23 / 7296),
    ],
)
def test_deflection_of_equal_spans(spans, x, coefficient):
    """delta = c w L4 / EI; the places are those of the largest deflection in their span, good to 1e-6 of L."""
    if coefficient is None:  # the second of five spans peaks near its middle: compare the largest on a grid
        deflection = uniform([1.0] * spans)[1][1]
        assert most(deflection) == pytest.approx(0.001_525_840, rel=1e-4)
        return
    assert at([1.0] * spans, x) == pytest.approx(coefficient, abs=1e-9)


@pytest.mark.parametrize(
    ("spans", "reactions"),
    [
        (1, [1 / 2, 1 / 2]),
        (2, [3 / 8, 5 / 4, 3 / 8]),
        (3, [2 / 5, 11 / 10, 11 / 10, 2 / 5]),
        (4, [11 / 28, 8 / 7, 13 / 14, 8 / 7, 11 / 28]),
        (5, [15 / 38, 43 / 38, 37 / 38, 37 / 38, 43 / 38, 15 / 38]),
    ],
)
def test_reactions_of_equal_spans(spans, reactions):
    assert uniform([1.0] * spans)[0] == pytest.approx(reactions, rel=1e-9)


@pytest.mark.parametrize(("printed", "spans"), [(0.0069, 3), (0.0065, 4), (0.0054, 2)])
def test_printed_coefficients(printed, spans):
    """As printed, to half a unit in the last place."""
    assert most(uniform([1.0] * spans)[1][0]) == pytest.approx(printed, abs=0.5e-4)


@pytest.mark.parametrize(
    ("spans", "reactions", "down"),
    [
        ([400.0], [2, 2], [0.048_379]),
        ([400.0, 400.0], [1.5, 5, 1.5], [0.020_124, 0.020_124]),
        ([400.0] * 3, [1.6, 4.4, 4.4, 1.6], [0.025_578, 0.001_935, 0.025_578]),
        ([300.0, 450.0, 350.0], [1.011945, 4.189657, 4.528956, 1.269442], [0.003_900, 0.019_716, 0.010_264]),
        (
            [250.0, 420.0, 380.0, 310.0],
            [0.758688, 3.795365, 4.119334, 3.745126, 1.181487],
            [0.000_933, 0.016_418, 0.005_852, 0.007_736],
        ),
        (
            [300.0, 400.0, 500.0, 400.0, 300.0],
            [1.135893, 3.671092, 4.693015, 4.693015, 3.671092, 1.135893],
            [0.006_615, 0.005_692, 0.033_554, 0.005_692, 0.006_615],
        ),
    ],
)
def test_unequal_spans(spans, reactions, down):
    """E = 68 900 N/mm2, I = 1000 mm4, w = 0.01 N/mm; exact by sympy, and three finite-element programs agree."""
    found, deflection = uniform(spans, E_I, WEIGHT)
    assert found == pytest.approx(reactions, abs=1e-6)
    assert found.sum() == pytest.approx(WEIGHT * sum(spans), rel=1e-9)
    assert [most(part) for part in deflection] == pytest.approx(down, abs=1e-6)


def test_first_span_bends_up_more_than_down():
    """250, 420, 380, 310: 0.000 992 mm up against 0.000 933 down, so the largest magnitude alone would mislead."""
    first = uniform([250.0, 420.0, 380.0, 310.0], E_I, WEIGHT)[1][0]
    assert most(-first) == pytest.approx(0.000_992, abs=1e-6)
    assert most(-first) > most(first)


def test_two_unequal_spans_by_formula():
    """M = w (a3 + b3) / (8 (a + b)), R1 = w a / 2 - M / a, R3 = w b / 2 - M / b; one page has w a / 2 in R3."""
    a, b = 400.0, 300.0
    moment = (a**3 + b**3) / (8 * (a + b))
    reactions, deflection = uniform([a, b])
    assert moment == 16250
    assert reactions == pytest.approx([a / 2 - moment / a, 444.791_666_667, b / 2 - moment / b], rel=1e-9)
    assert reactions[2] != pytest.approx(a / 2 - moment / b, rel=1e-3)
    assert most(deflection[0]) == pytest.approx(1.738_557e8, rel=1e-5)
    assert most(deflection[1]) == pytest.approx(1.944_44e7, rel=1e-5)
    assert most(-deflection[1]) == pytest.approx(9.0715e6, rel=1e-3)


def test_reversed_spans_reverse_the_result():
    forward, backward = uniform([250.0, 420.0, 380.0, 310.0])[0], uniform([310.0, 380.0, 420.0, 250.0])[0]
    assert forward == pytest.approx(backward[::-1], rel=1e-9)


def test_self_weight_of_a_square_tube():
    """25 x 25 x 2 sharp 6063 tube (I 16 345.3 mm4, w 0.004 871 9 N/mm) over 1200 mm in one, two and three spans."""
    for spans, expected in (([1200.0], 0.116_803), ([600.0] * 2, 0.003_036_6), ([400.0] * 3, 0.000_762_4)):
        found = max(most(part) for part in uniform(spans, 68_900.0 * 16_345.333, weight_per_mm(184.0, 2700.0))[1])
        assert found == pytest.approx(expected, rel=2e-4 if len(spans) > 1 else 1e-5)
