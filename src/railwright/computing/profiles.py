"""Area and stiffness of the bars that segments are cut from.

Second moments are about the horizontal axis, so they count against bending up and down.
"""

from __future__ import annotations

import math

from railwright.book.model import Carrier

GRAVITY = 9.80665
"""Standard acceleration of gravity, m/s2 (ISO 80000-3)."""

_STEEL_FROM_GPA = 150.0
"""Bars at least this stiff are steel, and steel square tube is cold-formed with round corners."""


def flat_area(b: float, h: float) -> float:
    """Area of a flat b wide and h high, mm2."""
    return b * h


def flat_inertia(b: float, h: float) -> float:
    """Second moment of a flat b wide and h high, b h^3 / 12, mm4."""
    return b * h**3 / 12.0


def round_tube_area(outer: float, wall: float) -> float:
    """Area of a round tube, mm2."""
    inner = outer - 2.0 * wall
    return math.pi * (outer**2 - inner**2) / 4.0


def round_tube_inertia(outer: float, wall: float) -> float:
    """Second moment of a round tube, pi (D^4 - d^4) / 64, mm4."""
    inner = outer - 2.0 * wall
    return math.pi * (outer**4 - inner**4) / 64.0


def sharp_tube_area(b: float, h: float, wall: float) -> float:
    """Area of an extruded rectangular tube with sharp corners, mm2."""
    return b * h - (b - 2.0 * wall) * (h - 2.0 * wall)


def sharp_tube_inertia(b: float, h: float, wall: float) -> float:
    """Second moment of an extruded rectangular tube with sharp corners, mm4."""
    return (b * h**3 - (b - 2.0 * wall) * (h - 2.0 * wall) ** 3) / 12.0


def rounded_tube_area(b: float, h: float, wall: float, ro: float, ri: float) -> float:
    """Area of a hollow section with corner radii ro outside and ri inside, mm2. EN 10219-2, annex B."""
    return 2.0 * wall * (b + h - 2.0 * wall) - (4.0 - math.pi) * (ro**2 - ri**2)


def rounded_tube_inertia(b: float, h: float, wall: float, ro: float, ri: float) -> float:
    """Second moment of a hollow section with round corners, mm4. EN 10219-2, annex B.

    The sharp-cornered tube less its four outer corner pieces, plus its four inner ones; each piece is a square less a
    quarter circle, with its own second moment and that of its distance from the middle.

    Args:
        b: outer width, mm.
        h: outer height, mm.
        wall: wall thickness, mm.
        ro: outer corner radius, mm.
        ri: inner corner radius, mm.

    Returns:
        The second moment about the horizontal axis, mm4.
    """
    outer = _corner_inertia(ro, h / 2.0)
    inner = _corner_inertia(ri, h / 2.0 - wall)
    return sharp_tube_inertia(b, h, wall) - 4.0 * (outer - inner)


def _corner_inertia(r: float, reach: float) -> float:
    """Second moment about the middle axis of a corner piece of radius r whose outer edge lies ``reach`` away, mm4."""
    if r == 0.0:
        return 0.0
    area = (1.0 - math.pi / 4.0) * r**2
    own = (1.0 / 3.0 - math.pi / 16.0 - 1.0 / (3.0 * (12.0 - 3.0 * math.pi))) * r**4
    distance = reach - (10.0 - 3.0 * math.pi) / (12.0 - 3.0 * math.pi) * r
    return own + area * distance**2


def cold_formed_radii(wall: float) -> tuple[float, float]:
    """Outer and inner corner radius of cold-formed square tube, mm. EN 10219-2, annex B.

    Args:
        wall: wall thickness, mm.

    Returns:
        2 T and T up to 6 mm, 2.5 T and 1.5 T up to 10 mm, 3 T and 2 T above.
    """
    outer = 2.0 if wall <= 6.0 else 2.5 if wall <= 10.0 else 3.0
    return outer * wall, (outer - 1.0) * wall


def corner_radius(carrier: Carrier) -> float:
    """Outer radius at the edges of a carrier's section: round, rounded by cold forming, or sharp (0), mm."""
    if carrier.shape == "round tube":
        return carrier.height_mm / 2.0
    if carrier.shape == "square tube" and carrier.modulus_gpa >= _STEEL_FROM_GPA:
        return cold_formed_radii(carrier.wall_mm)[0]
    return 0.0


def area(carrier: Carrier) -> float:
    """Area of a carrier's section, mm2."""
    b, h, wall = carrier.width_mm, carrier.height_mm, carrier.wall_mm
    if carrier.shape == "flat":
        return flat_area(b, h)
    if carrier.shape == "round tube":
        return round_tube_area(h, wall)
    if carrier.modulus_gpa >= _STEEL_FROM_GPA:
        return rounded_tube_area(b, h, wall, *cold_formed_radii(wall))
    return sharp_tube_area(b, h, wall)


def inertia(carrier: Carrier) -> float:
    """Second moment of a carrier's section against bending up and down, mm4.

    Square tube of steel has the round corners of cold forming (a sharp-cornered formula would promise up to 10 % too
    much); extruded aluminium and drawn brass have sharp ones.

    Args:
        carrier: the bar.

    Returns:
        The second moment about the horizontal axis, mm4.
    """
    b, h, wall = carrier.width_mm, carrier.height_mm, carrier.wall_mm
    if carrier.shape == "flat":
        return flat_inertia(b, h)
    if carrier.shape == "round tube":
        return round_tube_inertia(h, wall)
    if carrier.modulus_gpa >= _STEEL_FROM_GPA:
        return rounded_tube_inertia(b, h, wall, *cold_formed_radii(wall))
    return sharp_tube_inertia(b, h, wall)


def stiffness(carrier: Carrier) -> float:
    """Bending stiffness EI of a carrier, N mm2."""
    return carrier.modulus_gpa * 1000.0 * inertia(carrier)


def weight_per_mm(area_mm2: float, density_kg_m3: float) -> float:
    """Weight of a bar or strip per length, N/mm."""
    return area_mm2 * density_kg_m3 * 1e-9 * GRAVITY


def expansion(length_mm: float, coefficient_1e6_per_k: float, kelvin: float) -> float:
    """How much longer a bar becomes when it warms, mm."""
    return length_mm * coefficient_1e6_per_k * 1e-6 * kelvin
