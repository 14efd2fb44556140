"""Skew: what the angle between rail and strings does to the ends of a segment.

theta is measured at the rail from the treble direction (+x) round to the string's tailward direction (+y). Below 90
degrees the strings lean to the treble as they run to the tail. Plane trigonometry throughout.
"""

from __future__ import annotations

import math

from railwright.computing.results import SawHand


def cotangent(theta_deg: float) -> float:
    """Give cot theta, how far a string moves to the treble per mm to the tail.

    Args:
        theta_deg: angle of the strings to the rail, degrees, above 0 and below 180.

    Returns:
        cos theta / sin theta; exactly 0 at 90 degrees.

    Raises:
        ValueError: the angle is not between 0 and 180 degrees.
    """
    if not 0.0 < theta_deg < 180.0:
        raise ValueError(f"an angle of {theta_deg:g} degrees is no angle between strings and rail")
    return math.tan(math.radians(90.0 - theta_deg))


def along_rail(perpendicular_mm: float, theta_deg: float) -> float:
    """Length along the rail of a distance square to the strings: perpendicular / sin theta, mm."""
    cotangent(theta_deg)
    return perpendicular_mm / math.sin(math.radians(theta_deg))


def saw(theta_deg: float, square_below_deg: float) -> tuple[float, SawHand]:
    """Saw angle off square, |90 - theta|, and its hand.

    Args:
        theta_deg: angle of the strings to the rail, degrees.
        square_below_deg: a mitre smaller than this is sawn square.

    Returns:
        Angle in degrees (0 when square) and ``left`` for strings that lean to the treble, ``right`` for the bass.
    """
    angle = abs(90.0 - theta_deg)
    if angle < square_below_deg or angle == 0.0:
        return 0.0, "square"
    return angle, "left" if theta_deg < 90.0 else "right"


def mitre_mm(width_mm: float, theta_deg: float, square_below_deg: float) -> float:
    """How much longer the long point is than a long edge, b |cot theta|; 0 for an end sawn square."""
    angle, _ = saw(theta_deg, square_below_deg)
    return width_mm * abs(cotangent(theta_deg)) if angle else 0.0


def centre_offset(width_mm: float, wire_diameter_mm: float, clearance_mm: float, rear: bool) -> float:
    """Distance y_c of the segment's centre line from the line of the wires; positive behind them, mm."""
    distance = wire_diameter_mm / 2 + clearance_mm + width_mm / 2
    return distance if rear else -distance


def shift_along_rail(offset_mm: float, theta_deg: float) -> float:
    """How far the strings stand further to the treble on a line that lies y_c behind the wires, mm."""
    return offset_mm * cotangent(theta_deg)
