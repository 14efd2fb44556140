import subprocess
import sys
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from railwright.survey.units import LENGTH_UNITS, mm_per, to_mm


@pytest.mark.parametrize("unit, mm", [("mm", "1"), ("cm", "10"), ("m", "1000"), ("in", "25.4"), ("ft", "304.8")])
def test_every_unit_is_exact(unit, mm):
    # NIST Handbook 44, Appendix C: 1 inch = 25.4 mm exactly, 1 foot = 12 inches.
    assert mm_per(unit) == Fraction(mm)


@pytest.mark.parametrize(
    "eighths, mm",
    [(1, "3.175"), (2, "6.35"), (3, "9.525"), (4, "12.7"), (5, "15.875"), (6, "19.05"), (7, "22.225"), (8, "25.4")],
)
def test_the_eighths_of_an_inch_come_out_exactly(eighths, mm):
    # Multiples of 25.4 mm / 8 (NIST Handbook 44, Appendix C, for the inch).
    assert to_mm(Fraction(eighths, 8), "in") == Fraction(mm)


def test_the_inch_is_not_the_survey_inch():
    # The US survey inch is 1000/39.37 mm; a hundred of them differ by 0.005 mm from a hundred inches.
    assert to_mm(Fraction(100), "in") == 2540
    assert to_mm(Fraction(100), "in") != Fraction(100_000 * 100, 3937)


@pytest.mark.parametrize("word", ["", "mil", "inch", "kg", "pt", "yard"])
def test_anything_else_is_refused(word):
    with pytest.raises(ValueError, match="not a unit of length"):
        to_mm(Fraction(1), word)


@given(st.fractions(), st.sampled_from(LENGTH_UNITS))
def test_conversion_loses_nothing(value, unit):
    assert to_mm(value, unit) / mm_per(unit) == value


def test_importing_the_module_does_not_import_pint():
    code = "import sys, railwright.survey.units; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
