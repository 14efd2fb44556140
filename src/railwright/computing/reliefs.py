"""Hollows over guide-rail screws and notches for wires that stand out of line."""

from __future__ import annotations

from railwright.computing.results import Relief
from railwright.computing.stations import ScrewPlace


def hollow_depth(proud_mm: float, above_rail_mm: float, clearance_mm: float) -> float:
    """Depth of the hollow over a screw head, mm; 0 where the carrier passes above the head.

    Args:
        proud_mm: how far the head stands above the rail, mm.
        above_rail_mm: how high the carrier lies above the rail, foot and shim, mm.
        clearance_mm: kept free above the head once a hollow is needed, mm.

    Returns:
        The depth from the underside of the carrier, mm.
    """
    return proud_mm - above_rail_mm + clearance_mm if above_rail_mm < proud_mm else 0.0


def hollow_width(head_mm: float, clearance_mm: float) -> float:
    """Diameter of the hollow over a screw head: head and a clearance on either side, mm."""
    return head_mm + 2 * clearance_mm


def notch_width(wire_mm: float, clearance_mm: float) -> float:
    """Width of the notch for a wire out of line: wire and a clearance on either side, mm."""
    return wire_mm + 2 * clearance_mm


def screw_relief(screw: ScrewPlace, head_mm: float, clearance_mm: float, depth_mm: float) -> Relief:
    """Make the relief over one guide-rail screw."""
    return Relief("screw", screw.x_mm, hollow_width(head_mm, clearance_mm), depth_mm, screw.u_mm)
