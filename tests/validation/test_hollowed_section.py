"""Carriers with a hollow at one edge against the sectionproperties library, and one flat by hand."""

from __future__ import annotations

import math

import pytest
from sectionproperties.analysis import Section
from sectionproperties.pre.geometry import Geometry
from sectionproperties.pre.library import circular_hollow_section, rectangular_hollow_section, rectangular_section

from railwright.book.model import Carrier
from railwright.computing.pockets import pocketed_inertia, removed, stiffness_lost
from railwright.computing.profiles import area, inertia

FLAT = Carrier("F", "flat 12 x 1.5", "flat", 12.0, 1.5, 0.0, 193.0, 8000.0)
SHARP = Carrier("S", "square tube 8 x 8 x 1", "square tube", 8.0, 8.0, 1.0, 68.9, 2700.0)
STEEL = Carrier("T", "square tube 25 x 25 x 2", "square tube", 25.0, 25.0, 2.0, 210.0, 7850.0)
ROUND = Carrier("R", "round tube 8 x 1", "round tube", 8.0, 8.0, 1.0, 68.9, 2700.0)


def shape_of(carrier: Carrier) -> Geometry:
    """The carrier with its lower left corner at the origin."""
    b, h, wall = carrier.width_mm, carrier.height_mm, carrier.wall_mm
    if carrier.shape == "flat":
        return rectangular_section(d=h, b=b)
    if carrier.shape == "round tube":
        return circular_hollow_section(d=h, t=wall, n=512).shift_section(h / 2, h / 2)
    radius = 2 * wall if carrier.modulus_gpa > 150.0 else 0.0
    return rectangular_hollow_section(d=h, b=b, t=wall, r_out=radius, n_r=96 if radius else 1)


def meshed(carrier: Carrier, reach: float, depth: float) -> Section:
    """The carrier less a rectangle at its lower left corner, meshed."""
    cut = shape_of(carrier) - rectangular_section(d=depth, b=reach)
    section = Section(cut.create_mesh(mesh_sizes=1.0))
    section.calculate_geometric_properties()
    return section


@pytest.mark.parametrize(
    ("carrier", "reach", "depth", "within"),
    [
        (FLAT, 2.25, 1.0, 1e-9),
        (FLAT, 2.25, 0.5, 1e-9),
        (FLAT, 7.0, 1.2, 1e-9),
        (SHARP, 2.25, 0.8, 1e-9),
        (SHARP, 0.6, 0.9, 1e-9),
        (STEEL, 3.0, 1.5, 1e-4),
        (STEEL, 24.0, 1.9, 1e-4),
        (ROUND, 3.0, 0.9, 2e-4),
        (ROUND, 2.25, 0.8, 2e-4),
    ],
    ids=lambda value: value.name if isinstance(value, Carrier) else str(value),
)
def test_what_a_hollow_leaves(carrier, reach, depth, within):
    section = meshed(carrier, reach, depth)
    assert area(carrier) - removed(carrier, reach, depth).area_mm2 == pytest.approx(section.get_area(), rel=within)
    assert pocketed_inertia(carrier, reach, depth) == pytest.approx(section.get_ic()[0], rel=within)


def test_a_flat_by_hand():
    """12 x 1.5 less 2.25 x 1 at the lower edge, whose middle lies 0.25 below the flat's; parallel-axis theorem."""
    left = 12 * 1.5 - 2.25 * 1.0
    own = 12 * 1.5**3 / 12 - 2.25 * 1.0**3 / 12 - 2.25 * 0.25**2
    shifted = (2.25 * 0.25 / left) ** 2 * left
    assert pocketed_inertia(FLAT, 2.25, 1.0) == pytest.approx(own - shifted, rel=1e-12)
    assert stiffness_lost(FLAT, 2.25, 1.0) == pytest.approx(1 - (own - shifted) / 3.375, rel=1e-12)


def test_across_the_whole_width_what_is_left_is_a_thinner_flat():
    """12 x 0.5 is left of 12 x 1.5: a twenty-seventh of the stiffness."""
    assert pocketed_inertia(FLAT, 12.0, 1.0) == pytest.approx(12 * 0.5**3 / 12, rel=1e-9)
    assert stiffness_lost(FLAT, 12.0, 1.0) == pytest.approx(26 / 27, rel=1e-9)


def test_a_round_underside_may_clear_the_hollow():
    """A tube of 8 mm, 0.2 mm in from its edge, lies 4 - sqrt(16 - 3.8^2) = 2.75 mm up: nothing is taken."""
    assert 4 - math.sqrt(16 - 3.8**2) == pytest.approx(2.751, abs=1e-3)
    assert removed(ROUND, 0.2, 0.9).area_mm2 == 0.0
    assert pocketed_inertia(ROUND, 0.2, 0.9) == inertia(ROUND)


def test_bending_sideways_adds_little():
    """A hollow at one edge turns the axes: the weaker principal moment of the flat is less by a fiftieth."""
    section = meshed(FLAT, 2.25, 1.0)
    weaker = min(section.get_ip())
    assert weaker < pocketed_inertia(FLAT, 2.25, 1.0)
    assert weaker == pytest.approx(pocketed_inertia(FLAT, 2.25, 1.0), rel=0.022)
