"""Guarded acceptance and stacks of tolerances.

JCGM 106:2012, table 1: one-sided z for 0.80, 0.90, 0.95, 0.99, 0.999 is 0.84, 1.28, 1.64, 2.33, 3.09 (the numbers agree
with scipy's normal quantiles). Stack: the worked example of ficientdesign.com, "Tolerance stack-up analysis".
"""

from __future__ import annotations

import math

import pytest
from scipy.stats import norm

from railwright.book.default_catalogue import default_shop_book
from railwright.computing import heights, profiles


@pytest.mark.parametrize(("probability", "z"), [(0.80, 0.84), (0.90, 1.28), (0.95, 1.64), (0.99, 2.33), (0.999, 3.09)])
def test_guard_factors(probability, z):
    """A stack just at the guarded limit clears with the stated probability, by the normal law."""
    stack = heights.highest_stack(10.0, 0.5, 0.0, norm.ppf(probability))
    assert norm.cdf((10.0 - stack) / 0.5) == pytest.approx(probability)
    assert (10.0 - stack) / 0.5 == pytest.approx(z, abs=0.0051)


def test_default_guard_is_the_one_sided_95_percent():
    assert default_shop_book().value("z_p") == pytest.approx(norm.ppf(0.95), abs=5e-4)


def test_simple_acceptance_has_even_odds():
    assert norm.cdf(10.0 - heights.highest_stack(10.0, 0.5, 0.0, 0.0)) == 0.5


def test_worked_stack():
    """4.020 less 2.000, 1.500 and 0.500: gap 0.020; worst case 0.005, root sum of squares 0.012 (with 0.007 937)."""
    tolerances = (0.005, 0.005, 0.003, 0.002)
    parts = 2.000 + 1.500 + 0.500
    assert heights.highest_stack(4.020, sum(tolerances), parts, 1.0) == pytest.approx(0.005)
    rss = math.sqrt(sum(t * t for t in tolerances))
    assert rss == pytest.approx(0.007_937, abs=5e-7)
    assert heights.highest_stack(4.020, rss, parts, 1.0) == pytest.approx(0.012, abs=1e-4)


@pytest.mark.parametrize(
    ("area", "density", "kg_m"),
    [(184.0, 2700.0, 0.4968), (75.0, 8490.0, 0.636_75), (173.70, 7850.0, 1.364)],
    ids=["25x25x2 sharp 6063", "25x3 brass C360", "25x25x2 EN 10219"],
)
def test_weights(area, density, kg_m):
    """Mass per metre by arithmetic (the steel tube's table prints 1.36); weight is that times 9.80665."""
    assert profiles.weight_per_mm(area, density) == pytest.approx(kg_m * 9.80665 / 1000, rel=5e-4)


@pytest.mark.parametrize(("coefficient", "millimetres"), [(23.4, 0.2808), (17.3, 0.2076), (20.5, 0.2460)])
def test_expansion(coefficient, millimetres):
    """1200 mm of 6063 aluminium, 304 stainless and C360 brass warmed by 10 K."""
    assert profiles.expansion(1200.0, coefficient, 10.0) == pytest.approx(millimetres)


def test_warming_needs_no_allowance_of_its_own():
    """20 K on the longest bar of aluminium (23.6, 6061) or stainless (17.3) take less than the clearance at the ends.

    The coefficients are data-sheet values; half of the growth shows at either end.
    """
    book = default_shop_book()
    longest = max(float(line.length_mm) for line in book.stock if line.item.startswith("RC-"))
    for coefficient in (23.6, 17.3):
        assert profiles.expansion(longest, coefficient, 20.0) / 2 < book.value("plate_clearance")
    assert profiles.expansion(1000.0, 23.6, 10.0) < 0.3
