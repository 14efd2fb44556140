"""Which rule values make sense: signs, whole numbers, shares, and pairs that belong in order."""

from __future__ import annotations

import math
from collections.abc import Mapping

#: Values that something is divided by or measured against; zero would make no sense.
ABOVE_ZERO = frozenset(
    (
        "default_head_width",
        "default_wire_diameter",
        "default_cable_run",
        "pitch_low",
        "pitch_high",
        "angle_low",
        "angle_high",
        "notes_total",
        "dampers_low",
        "dampers_high",
        "gap_high",
        "head_width_high",
        "wire_high",
        "ledge_high",
        "cable_high",
        "room_high",
        "offset_high",
        "swing_high",
        "pitch",
        "pitch_sd",
        "drift_length",
        "scatter",
        "slip_k",
        "slip_k_second",
        "odds",
        "slip_none",
        "foot_width",
        "shim_step",
        "delta_min",
        "working",
        "link_stroke",
        "press_bass",
        "press_tenor",
        "press_treble",
        "overhang_max",
        "lever_ratio",
        "lever_force",
        "gauge_step",
        "angle_step",
        "kind_pitch_sd",
        "kind_change_sd",
    )
)
#: Values that count things.
WHOLE = frozenset(
    (
        "default_singles_bass",
        "default_singles_tenor",
        "default_singles_treble",
        "default_doubles_bass",
        "default_doubles_tenor",
        "default_doubles_treble",
        "notes_total",
        "dampers_low",
        "dampers_high",
        "screws_most",
        "serial_signs",
        "screws_per_station",
        "kind_least",
    )
)
#: Shares of one.
AT_MOST_ONE = frozenset({"working", "weak_power", "slip_none", "slip_second"})
#: Values that make sense only from the first to the second number.
BETWEEN = {
    "rest_clearance": (0.0, 20.0),
    "notes_total": (60.0, 88.0),
    "guide_screw_line": (-20.0, 20.0),
    "kind_least": (2.0, 100.0),
    "kind_new_pitch": (0.0001, 0.3),
    "kind_new_count": (0.0001, 0.3),
    "kind_new_layout": (0.00001, 0.3),
    "kind_pitch_sd_factor": (1.01, 10.0),
    "kind_ask": (0.05, 0.95),
}
#: The first of each pair stays below the second.
ORDERED = (
    ("pitch_low", "pitch_high"),
    ("pitch_low", "pitch"),
    ("pitch", "pitch_high"),
    ("angle_low", "angle_high"),
    ("gap_low", "gap_high"),
    ("dampers_low", "dampers_high"),
    ("head_width_low", "head_width_high"),
    ("wire_low", "wire_high"),
    ("cable_low", "cable_high"),
    ("kind_pitch_sd", "pitch_sd"),
)


def expected_of(key: str, unit: str, value: float) -> str | None:
    """Say what a rule value should be, if it is not.

    Args:
        key: the rule's key.
        unit: its declared unit.
        value: the number written, in that unit.

    Returns:
        ``None`` when the value makes sense, otherwise a phrase such as ``a number above 0``.
    """
    if key in WHOLE and value != int(value):
        return "a whole number"
    if key in ABOVE_ZERO and value <= 0:
        return "a number above 0"
    low, high = BETWEEN.get(key, (0.0, math.inf))
    if not low <= value <= high:
        return "0 or more" if math.isinf(high) else f"{low:g} to {high:g}"
    if key in AT_MOST_ONE and value > 1:
        return "at most 1"
    if unit == "deg" and value > 180:
        return "at most 180 degrees"
    return None


def disordered(rules: Mapping[str, float | str]) -> list[tuple[str, str]]:
    """List the pairs of keys whose values stand in the wrong order, lower key first."""
    pairs = []
    for low, high in ORDERED:
        below, above = rules.get(low), rules.get(high)
        if isinstance(below, float) and isinstance(above, float) and not below < above:
            pairs.append((low, high))
    return pairs
