"""Skew against plane trigonometry: 1/sin, mitre, the 3-4-5 triangle and rises in twelve."""

from __future__ import annotations

import math

import pytest

from railwright.computing import skew


@pytest.mark.parametrize(
    ("theta", "along", "mitre"),
    [(90, 91.0, 0), (85, 91.3476, 5), (80, 92.4038, 10), (75, 94.2101, 15), (60, 105.0777, 30)],
)
def test_seven_spaces_along_the_rail(theta, along, mitre):
    """Seven spaces of 13.0 mm square to the strings; mirrored angles give the same length and the other hand."""
    for angle, hand in ((theta, "left"), (180 - theta, "right")):
        assert skew.along_rail(91.0, angle) == pytest.approx(along, abs=5e-5)
        assert skew.saw(angle, 1.0) == ((mitre, hand) if mitre else (0, "square"))


def test_three_four_five():
    theta = math.degrees(math.atan(3 / 4))
    assert theta == pytest.approx(36.869_898, abs=5e-7)
    assert skew.along_rail(3.0, theta) == pytest.approx(5.0)
    assert skew.cotangent(theta) == pytest.approx(4 / 3)


@pytest.mark.parametrize(
    ("rise", "degrees", "length"), [(1, 4.763_642, 12.041_595), (2, 9.462_322, 12.165_525), (3, 14.036_243, 12.369_317)]
)
def test_rise_in_twelve(rise, degrees, length):
    """A mitre of so much off square on a bar of 12 mm moves the long point by the rise."""
    theta = 90 - degrees
    assert skew.mitre_mm(12.0, theta, 1.0) == pytest.approx(rise, abs=1e-5)
    assert skew.along_rail(12.0, theta) == pytest.approx(length, abs=1e-5)


@pytest.mark.parametrize("theta", [0.0, 180.0, -10.0, 200.0, math.nan])
def test_no_angle_between_strings_and_rail(theta):
    with pytest.raises(ValueError, match="no angle"):
        skew.cotangent(theta)


def test_degrees_are_not_radians():
    assert skew.cotangent(80.0) == pytest.approx(0.176_327, abs=1e-6)
    assert skew.cotangent(80.0) != pytest.approx(1 / math.tan(80.0), rel=0.1)


@pytest.mark.parametrize(
    ("theta", "saw"),
    [(89.01, (0.0, "square")), (90.99, (0.0, "square")), (89.0, (1.0, "left")), (91.0, (1.0, "right"))],
)
def test_square_below_the_limit(theta, saw):
    assert skew.saw(theta, 1.0) == pytest.approx(saw) if saw[0] == 0.0 else skew.saw(theta, 1.0) == saw


def test_square_ends_have_no_long_point():
    assert skew.mitre_mm(12.0, 89.5, 1.0) == 0.0
    assert skew.mitre_mm(12.0, 89.0, 1.0) == pytest.approx(12.0 * math.tan(math.radians(1.0)))


def test_a_segment_behind_the_wires_moves_with_the_strings():
    """b 8, wire 2.9, clearance 1: centre 6.45 mm behind; at 60 degrees strings stand 3.724 mm further to the treble."""
    assert skew.centre_offset(8.0, 2.9, 1.0, rear=True) == pytest.approx(6.45)
    assert skew.centre_offset(8.0, 2.9, 1.0, rear=False) == pytest.approx(-6.45)
    assert skew.shift_along_rail(6.45, 60.0) == pytest.approx(6.45 / math.sqrt(3))
    assert skew.shift_along_rail(-6.45, 60.0) == pytest.approx(-6.45 / math.sqrt(3))
    assert skew.shift_along_rail(6.45, 120.0) == pytest.approx(-6.45 / math.sqrt(3))
