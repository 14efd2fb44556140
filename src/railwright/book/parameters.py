"""Every value that the shop can change, declared once with key, default, unit and reason.

The Rules sheet of the shop book, its reader and the documentation derive from this list. Values of the trade are
common practice without a published source; they are defaults, never constants in code.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True, slots=True)
class Parameter:
    """One line of the Rules sheet."""

    group: str
    key: str
    default: float | str
    unit: str
    why: str


PARAMETERS: tuple[Parameter, ...] = (
    Parameter(
        "Readings",
        "u_set",
        0.4,
        "mm",
        "Setting a tape or gauge on an edge is itself uncertain by this much (standard uncertainty), beside the reading step.",
    ),
    Parameter(
        "Readings",
        "gauge_tol",
        0.1,
        "mm",
        "Thickness tolerance of a gauge block (standard uncertainty); a clear gauge is a bound, so its step does not count.",
    ),
    Parameter(
        "Readings",
        "gauge_step",
        1.5875,
        "mm",
        "Step between neighbouring gauge blocks (1/16 in); with only a clear gauge the rest gap lies up to one step above it, swing added.",
    ),
    Parameter("Readings", "angle_step", 1.0, "deg", "Smallest angle read on the angle gauge."),
    Parameter(
        "Readings",
        "u_angle",
        0.5,
        "deg",
        "Setting the angle gauge is uncertain by this much (standard uncertainty), beside the angle step.",
    ),
    Parameter(
        "Readings",
        "angle_spread",
        2.0,
        "deg",
        "Two readings of one angle further apart than this are worth a third.",
    ),
    Parameter("Readings", "z_p", 1.645, "", "Guard factor: 95 % one-sided confidence that a clearance holds."),
    Parameter(
        "Stand-ins for blanks",
        "default_head_width",
        9.5,
        "mm",
        "Usual width of a damper head. Common practice, no source.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_head_width_u",
        0.3,
        "mm",
        "Standard uncertainty of the usual head width.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_wire_diameter",
        2.9,
        "mm",
        "Usual damper wire. Common practice, no source.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_wire_diameter_u",
        0.15,
        "mm",
        "Standard uncertainty of the usual wire diameter.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_ledge_front",
        30.0,
        "mm",
        "Usual free guide rail in front of the wires. Common practice, no source.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_ledge_front_u",
        3.0,
        "mm",
        "Standard uncertainty of the usual front ledge.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_ledge_rear",
        30.0,
        "mm",
        "Usual free guide rail behind the wires. Common practice, no source.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_ledge_rear_u",
        3.0,
        "mm",
        "Standard uncertainty of the usual rear ledge.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_cable_run",
        1500.0,
        "mm",
        "Cable from the hand lever to the rail when it was not measured. Common practice, no source.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_cable_run_u",
        150.0,
        "mm",
        "Standard uncertainty of the usual cable run.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_hole_offset",
        3.0,
        "mm",
        "How far a wire hole out of line stands to the front when nobody measured it. Common practice, no source.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_hole_offset_u",
        0.8,
        "mm",
        "Standard uncertainty of the usual hole offset.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_gap_next",
        30.0,
        "mm",
        "Usual gap between neighbouring sections across a strut. Common practice, no source.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_gap_next_u",
        8.0,
        "mm",
        "Standard uncertainty of the usual gap between sections.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_reach_u",
        12.0,
        "mm",
        "Standard uncertainty of a reach that was reckoned from the remaining notes, not measured.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_singles_bass",
        10.0,
        "notes",
        "Single-string notes of the lowest bass section when not counted. Common practice, no source.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_singles_tenor",
        0.0,
        "notes",
        "Single-string notes of a tenor section when not counted.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_singles_treble",
        0.0,
        "notes",
        "Single-string notes of a treble section when not counted.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_doubles_bass",
        88.0,
        "notes",
        "Double-string notes of a bass section when not counted: all above the singles.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_doubles_tenor",
        0.0,
        "notes",
        "Double-string notes of a tenor section when not counted.",
    ),
    Parameter(
        "Stand-ins for blanks",
        "default_doubles_treble",
        0.0,
        "notes",
        "Double-string notes of a treble section when not counted.",
    ),
    Parameter(
        "What is plausible",
        "pitch_low",
        12.0,
        "mm",
        "Smallest plausible pitch of the damper wires. Common practice, no source.",
    ),
    Parameter(
        "What is plausible",
        "pitch_high",
        15.5,
        "mm",
        "Largest plausible pitch of the damper wires. Common practice, no source.",
    ),
    Parameter("What is plausible", "angle_low", 60.0, "deg", "Smallest plausible string angle."),
    Parameter("What is plausible", "angle_high", 120.0, "deg", "Largest plausible string angle."),
    Parameter(
        "What is plausible",
        "notes_total",
        88.0,
        "notes",
        "Notes of the keyboard; all sections together have no more.",
    ),
    Parameter("What is plausible", "dampers_low", 60.0, "notes", "Fewest plausible dampers of an instrument."),
    Parameter("What is plausible", "dampers_high", 75.0, "notes", "Most plausible dampers of an instrument."),
    Parameter("What is plausible", "gap_low", 3.0, "mm", "Smallest plausible gap between guide rail and strings."),
    Parameter("What is plausible", "gap_high", 60.0, "mm", "Largest plausible gap between guide rail and strings."),
    Parameter(
        "What is plausible", "head_width_low", 8.0, "mm", "Narrowest plausible damper head. Common practice, no source."
    ),
    Parameter(
        "What is plausible", "head_width_high", 11.0, "mm", "Widest plausible damper head. Common practice, no source."
    ),
    Parameter(
        "What is plausible", "wire_low", 2.0, "mm", "Thinnest plausible damper wire. Common practice, no source."
    ),
    Parameter(
        "What is plausible", "wire_high", 4.5, "mm", "Thickest plausible damper wire. Common practice, no source."
    ),
    Parameter(
        "What is plausible",
        "ledge_high",
        80.0,
        "mm",
        "Deepest plausible guide rail free on one side of the wires. Common practice, no source.",
    ),
    Parameter(
        "What is plausible", "cable_low", 300.0, "mm", "Shortest plausible cable run. Common practice, no source."
    ),
    Parameter(
        "What is plausible", "cable_high", 5000.0, "mm", "Longest plausible cable run. Common practice, no source."
    ),
    Parameter(
        "What is plausible",
        "room_high",
        200.0,
        "mm",
        "Largest plausible room at the end of a section. Common practice, no source.",
    ),
    Parameter(
        "What is plausible",
        "offset_high",
        10.0,
        "mm",
        "Farthest plausible wire hole out of line. Common practice, no source.",
    ),
    Parameter(
        "What is plausible",
        "swing_high",
        10.0,
        "mm",
        "Widest plausible swing of a string; gauge and rest gap further apart are worth another look. Common practice, no source.",
    ),
    Parameter(
        "What is plausible",
        "angle_jump",
        20.0,
        "deg",
        "Largest plausible difference of string angle between neighbouring sections above the bass. Common practice, no source.",
    ),
    Parameter(
        "What is plausible",
        "screws_most",
        4.0,
        "screws",
        "Most plausible guide-rail screws in one section. Common practice, no source.",
    ),
    Parameter(
        "What is plausible",
        "serial_signs",
        3.0,
        "signs",
        "Fewest plausible letters and figures of a serial number. Common practice, no source.",
    ),
    Parameter(
        "Spacing of the wires",
        "pitch",
        13.9,
        "mm",
        "Mean pitch of the damper wires before any reading. Common practice, no source.",
    ),
    Parameter(
        "Spacing of the wires",
        "pitch_sd",
        0.9,
        "mm",
        "How much the mean pitch varies from section to section (standard deviation).",
    ),
    Parameter(
        "Spacing of the wires",
        "drift",
        2.0,
        "% of pitch",
        "How far the pitch drifts slowly along a section (standard deviation).",
    ),
    Parameter("Spacing of the wires", "drift_length", 8.0, "gaps", "Over how many gaps the drift stays alike."),
    Parameter(
        "Spacing of the wires",
        "scatter",
        0.25,
        "mm",
        "Independent scatter of every single gap (standard deviation).",
    ),
    Parameter(
        "Spacing of the wires",
        "undamped_sd",
        0.5,
        "mm",
        "How far the spacing of the undamped notes may differ from that of the dampers below them (standard deviation). Common practice, no source.",
    ),
    Parameter(
        "Slips",
        "slip_k",
        2.6,
        "sd",
        "Count, run and span further apart than this many predicted standard deviations are a finding.",
    ),
    Parameter(
        "Slips",
        "slip_k_second",
        3.4,
        "sd",
        "A second run is one more test of the same section, so its limit is wider: both tests together then raise no more false alarms than one alone, 1 in 100.",
    ),
    Parameter(
        "Slips",
        "odds",
        10.0,
        "to 1",
        "A slip is named only when it explains the numbers this many times better than anything else.",
    ),
    Parameter(
        "Slips",
        "weak_power",
        0.95,
        "",
        "Where a count that is one off would be seen less often than this, the sheet says so and which reading would show it.",
    ),
    Parameter(
        "Slips",
        "slip_none",
        0.99,
        "weight",
        "Prior weight of no slip at all. Only the proportions of the weights count; their sizes were tried out on simulated sections, no source.",
    ),
    Parameter("Slips", "slip_count_one", 0.006, "weight", "Prior weight of a count one too high or too low, each."),
    Parameter("Slips", "slip_count_two", 0.0001, "weight", "Prior weight of a count two too high or too low, each."),
    Parameter(
        "Slips",
        "slip_run_spaces",
        0.06,
        "weight",
        "Prior weight of a run taken over eight or over six spaces, each.",
    ),
    Parameter(
        "Slips",
        "slip_run_edge",
        0.0004,
        "weight",
        "Prior weight of a run taken from the wrong edge of a head, each direction.",
    ),
    Parameter(
        "Slips",
        "slip_span_centres",
        0.0004,
        "weight",
        "Prior weight of a span taken between the centres of the end heads.",
    ),
    Parameter(
        "Slips",
        "slip_span_inner",
        0.0001,
        "weight",
        "Prior weight of a span taken between the inner edges of the end heads.",
    ),
    Parameter(
        "Slips",
        "slip_inch",
        0.0014,
        "weight",
        "Prior weight of a run an inch misread, each direction. A tape for it has to be held at some mark, not at its end.",
    ),
    Parameter("Slips", "slip_inch_span", 0.0002, "weight", "Prior weight of a span an inch misread, each direction."),
    Parameter(
        "Slips",
        "slip_half_inch",
        0.00004,
        "weight",
        "Prior weight of half an inch misread, each direction and reading.",
    ),
    Parameter(
        "Slips",
        "slip_unit",
        0.0006,
        "weight",
        "Prior weight of a reading written in another unit (inches, mm, cm), each.",
    ),
    Parameter(
        "Slips",
        "slip_digits",
        0.00006,
        "weight",
        "Prior weight of two neighbouring figures swapped, each reading.",
    ),
    Parameter(
        "Slips",
        "slip_second",
        0.15,
        "",
        "A second slip in one section weighs this share of what its odds alone would give, so that one slip is preferred to two.",
    ),
    Parameter(
        "Ends and sides",
        "overhang",
        3.0,
        "mm",
        "How far a segment stands out beyond the outer head edges where there is room.",
    ),
    Parameter("Ends and sides", "square_below", 1.0, "deg", "A mitre smaller than this is sawn square."),
    Parameter(
        "Ends and sides",
        "plate_clearance",
        2.0,
        "mm",
        "Every end keeps this far from the plate; it also takes up what a bar grows when it warms, below 0.3 mm a metre for 10 K.",
    ),
    Parameter(
        "Ends and sides",
        "room_usual",
        15.0,
        "mm",
        "Room beyond the outer heads that may be taken for granted when it was not measured. Common practice, no source.",
    ),
    Parameter(
        "Ends and sides",
        "wire_clearance",
        1.0,
        "mm",
        "Foot and carrier keep this far from every damper wire.",
    ),
    Parameter(
        "Ends and sides",
        "screw_clearance",
        0.5,
        "mm",
        "A relief is larger than the screw head by this much on each side.",
    ),
    Parameter(
        "Ends and sides",
        "guide_screw",
        "ISO 7046 M4",
        "",
        "Standard and size of the guide-rail screws; gives the head diameter.",
    ),
    Parameter(
        "Ends and sides",
        "guide_screw_proud",
        1.5,
        "mm",
        "How far a guide-rail screw's head stands above the rail.",
    ),
    Parameter(
        "Ends and sides",
        "guide_screw_line",
        0.0,
        "mm",
        "Guide-rail screws stand this far from the line of the wires, to the tail; below 0 to the keyboard. Common practice, no source.",
    ),
    Parameter(
        "Height",
        "swing_bass",
        4.0,
        "mm",
        "How far a bass string swings below its rest on a hard blow. Common practice, no source.",
    ),
    Parameter(
        "Height",
        "swing_tenor",
        2.5,
        "mm",
        "How far a tenor string swings below its rest on a hard blow. Common practice, no source.",
    ),
    Parameter(
        "Height",
        "swing_treble",
        0.5,
        "mm",
        "How far a treble string swings below its rest on a hard blow. Common practice, no source.",
    ),
    Parameter(
        "Height",
        "swing_u",
        25.0,
        "% of swing",
        "Standard uncertainty of the swing where a rest gap is reckoned from a clear gauge.",
    ),
    Parameter(
        "Height",
        "rest_clearance",
        0.5,
        "mm",
        "Lowered, the felt keeps at least this far below the swinging string.",
    ),
    Parameter("Height", "foot_width", 5.0, "mm", "Width of a station's foot along the rail."),
    Parameter("Height", "shim_step", 0.1, "mm", "Shims come in steps of this much."),
    Parameter(
        "Height",
        "shim_max",
        6.5,
        "mm",
        "No station is shimmed higher than this; enough to level a gap that is 1/4 in higher at one end.",
    ),
    Parameter(
        "Height",
        "delta_min",
        0.3,
        "mm",
        "Felt must be pressed at least this much at every string to mute it.",
    ),
    Parameter("Height", "working", 0.4, "of thickness", "Felt may be pressed at most this share of its thickness."),
    Parameter(
        "Height",
        "link_stroke",
        20.0,
        "mm",
        "Stroke of the links that couple the segments, from the hand lever.",
    ),
    Parameter(
        "Height",
        "trim",
        2.0,
        "mm",
        "How far a segment's lift can be trimmed either way on its threaded link at fitting.",
    ),
    Parameter(
        "Carrier, stations, force",
        "press_bass",
        1.2,
        "N",
        "Force on one bass string that mutes it. Common practice, no source.",
    ),
    Parameter(
        "Carrier, stations, force",
        "press_tenor",
        0.9,
        "N",
        "Force on one tenor string that mutes it. Common practice, no source.",
    ),
    Parameter(
        "Carrier, stations, force",
        "press_treble",
        0.6,
        "N",
        "Force on one treble string that mutes it. Common practice, no source.",
    ),
    Parameter(
        "Carrier, stations, force",
        "overhang_max",
        60.0,
        "mm",
        "A carrier reaches at most this far beyond its last station.",
    ),
    Parameter(
        "Carrier, stations, force",
        "station_slot",
        3.0,
        "mm",
        "A station's foot slides this far either way at fitting, to clear a wire.",
    ),
    Parameter(
        "Carrier, stations, force",
        "screws_per_station",
        2.0,
        "pieces",
        "Screws that hold one station to the carrier.",
    ),
    Parameter(
        "Carrier, stations, force",
        "lever_ratio",
        6.0,
        "",
        "Travel of the hand at the lever over the stroke of the links.",
    ),
    Parameter("Carrier, stations, force", "lever_force", 25.0, "N", "Largest force a hand should need at the lever."),
    Parameter("Parts, cutting, order", "kerf", 1.6, "mm", "Width of the saw cut."),
    Parameter(
        "Parts, cutting, order",
        "bar_trim",
        0.0,
        "mm",
        "Taken off one end of every bar before the first piece; set it where bars come with ends that are not square or clean.",
    ),
    Parameter(
        "Parts, cutting, order",
        "offcut_keep",
        150.0,
        "mm",
        "What is left of a bar or of felt goes back to the shelf from this length on. Common practice, no source.",
    ),
    Parameter(
        "Parts, cutting, order",
        "felt_keep_width",
        20.0,
        "mm",
        "What is left of a felt sheet goes back to the shelf from this width on. Common practice, no source.",
    ),
    Parameter("Parts, cutting, order", "cable_spare", 200.0, "mm", "Added to every cable run for the ends."),
    Parameter(
        "Parts, cutting, order",
        "adhesive_rate",
        250.0,
        "g/m2",
        "Adhesive to fix felt, by area. Common practice, no source.",
    ),
    Parameter("Parts, cutting, order", "currency", "", "", "Name of the money in prices and costs; may stay empty."),
)


@lru_cache(maxsize=1)
def parameter_by_key() -> dict[str, Parameter]:
    """Look a parameter up by its key."""
    return {parameter.key: parameter for parameter in PARAMETERS}


def default_rules() -> dict[str, float | str]:
    """Give the default value of every key."""
    return {parameter.key: parameter.default for parameter in PARAMETERS}
