"""Hollows over guide-rail screws and notches for wires that stand out of line.

The screws stand in the line of the wires, or off it as the shop book says; a hollow is round about its screw and so
reaches into the carrier from the edge at the wires. It is cut longer along the rail than it is wide by the doubt in the
screw's place that its clearance does not cover.
"""

from __future__ import annotations

import math

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


def edge_from_screws(offset_mm: float, width_mm: float, line_mm: float) -> float:
    """How far the carrier's edge at the wires stands off the screws' line; below 0 where the line runs under it.

    Args:
        offset_mm: carrier's centre line from the wires, positive behind them, mm.
        width_mm: carrier's width, mm.
        line_mm: screws' line from the wires, positive behind them, mm.

    Returns:
        The distance, mm.
    """
    return math.copysign(1.0, offset_mm) * (offset_mm - line_mm) - width_mm / 2


def hollow_reach(diameter_mm: float, edge_mm: float, width_mm: float) -> float:
    """How far a hollow reaches into the carrier from its edge at the wires.

    Args:
        diameter_mm: of the hollow about its screw, mm.
        edge_mm: carrier's edge from the screws' line, below 0 where the line runs under the carrier, mm.
        width_mm: carrier's width, mm.

    Returns:
        The reach, at most the width, mm; 0 where carrier and hollow do not meet on either side.
    """
    if edge_mm + width_mm <= -diameter_mm / 2:
        return 0.0
    return min(max(diameter_mm / 2 - edge_mm, 0.0), width_mm)


def hollow_slot(diameter_mm: float, u_x_mm: float, clearance_mm: float) -> float:
    """How long a hollow is cut along the rail: its diameter and, on both sides, the doubt beyond the clearance, mm."""
    return diameter_mm + 2 * max(1.96 * u_x_mm - clearance_mm, 0.0)


def hollow_width(head_mm: float, clearance_mm: float) -> float:
    """Diameter of the hollow over a screw head: head and a clearance on either side, mm."""
    return head_mm + 2 * clearance_mm


def notch_width(wire_mm: float, clearance_mm: float) -> float:
    """Width of the notch for a wire out of line: wire and a clearance on either side, mm."""
    return wire_mm + 2 * clearance_mm


def screw_relief(screw: ScrewPlace, width_mm: float, clearance_mm: float, depth_mm: float, reach_mm: float) -> Relief:
    """Make the relief over one guide-rail screw.

    Args:
        screw: where it stands, and how surely.
        width_mm: diameter of the hollow, mm.
        clearance_mm: how much of it is clearance on either side of the head, mm.
        depth_mm: from the carrier's underside, mm.
        reach_mm: into the carrier from its edge at the wires, mm.

    Returns:
        The relief, as long along the rail as the doubt in the screw's place asks for.
    """
    slot = hollow_slot(width_mm, screw.u_mm, clearance_mm)
    return Relief("screw", screw.x_mm, width_mm, depth_mm, screw.u_mm, reach_mm, slot)


def wire_relief(x_mm: float, u_x_mm: float, width_mm: float, depth_mm: float) -> Relief:
    """Make the notch for one wire, right through: its depth is its reach into the carrier, its width its length."""
    return Relief("wire", x_mm, width_mm, depth_mm, u_x_mm, depth_mm, width_mm)
