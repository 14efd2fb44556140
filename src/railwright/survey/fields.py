"""The survey fields, each declared once.

The blank workbook, the reader, the checks, ``railwright fields`` and the documentation all derive from this list.
A section field is declared once without its section prefix; its full key is ``s<section>_<key>``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from dataclasses import fields as attributes
from functools import lru_cache
from typing import Literal

Kind = Literal["text", "date", "length", "angle", "count", "yes_no", "choice", "screws"]
Scope = Literal["instrument", "section"]

MAX_SECTIONS = 6
REGISTERS = ("bass", "tenor", "treble")
UNITS = ("in", "mm")
STEPS = ("1/8", "1/16", "1/32", "1", "0.5")
YES_NO = ("yes", "no")


@dataclass(frozen=True, slots=True)
class Field:
    """One question of the survey.

    ``unit`` is ``reading`` for a length in the unit that the survey states, otherwise the unit itself or empty.
    ``required`` means that an instrument is held without it; ``required_when`` narrows that in plain words, and
    the rule ``missing_reading`` applies it. ``default`` names the shop-book value that stands in for a blank, or says
    in words how the blank is filled; it is empty where nothing stands in. ``may_be_zero`` marks a length of which
    nothing at all may be there, such as room.
    """

    key: str
    label: str
    kind: Kind
    scope: Scope
    help: str
    unit: str = ""
    required: bool = False
    required_when: str = ""
    choices: tuple[str, ...] = ()
    default: str = ""
    may_be_zero: bool = False

    def in_section(self, section: int) -> Field:
        """Give the same field with the full key of one section, 1 at the bass."""
        return replace(self, key=f"s{section}_{self.key}")

    def __reduce__(self) -> tuple[Callable[..., Field], tuple[object, ...]]:
        """Travel between processes by key alone: both sides know the fields, and every answer names one."""
        if field_by_key().get(self.key) is self:
            return _known_field, (self.key,)
        return Field, tuple(getattr(self, each.name) for each in attributes(self))


def _instrument(key: str, label: str, kind: Kind, help: str, **more: object) -> Field:
    return Field(key, label, kind, "instrument", help, **more)  # type: ignore[arg-type]


def _section(key: str, label: str, kind: Kind, help: str, **more: object) -> Field:
    return Field(key, label, kind, "section", help, **more)  # type: ignore[arg-type]


INSTRUMENT_FIELDS: tuple[Field, ...] = (
    _instrument("order_no", "Order number", "text", "As on the order; no two surveys share one.", required=True),
    _instrument("site", "Site", "text", "Where the piano stands: house, school or hall.", required=True),
    _instrument("technician", "Technician", "text", "Who measured; questions go back to this person.", required=True),
    _instrument("survey_date", "Survey date", "date", "Day of the visit, year-month-day.", required=True),
    _instrument("needed_by", "Needed by", "date", "Day the kit must be ready, year-month-day.", required=True),
    _instrument("maker", "Maker", "text", "Name on the fallboard or plate.", required=True),
    _instrument("model", "Model", "text", "As cast or stamped on the plate.", required=True),
    _instrument(
        "serial",
        "Serial number",
        "text",
        "Whole number: every letter and figure, cast or stamped.",
        required=True,
    ),
    _instrument(
        "unit",
        "Unit of the readings",
        "choice",
        "in or mm; one unit for the whole sheet.",
        required=True,
        choices=UNITS,
    ),
    _instrument(
        "reading_step",
        "Smallest step read",
        "choice",
        "The finest mark you read to: 1/8, 1/16 or 1/32 in; 1 or 0.5 mm.",
        required=True,
        choices=STEPS,
    ),
    _instrument(
        "head_width",
        "Damper head width",
        "length",
        "One head, along the rail, edge to edge.",
        unit="reading",
        default="default_head_width",
    ),
    _instrument(
        "wire_diameter",
        "Damper wire diameter",
        "length",
        "Thickness of one damper wire.",
        unit="reading",
        default="default_wire_diameter",
    ),
    _instrument(
        "ledge_front",
        "Guide rail free in front of the wires",
        "length",
        "From the wires towards the keyboard to the edge of the guide rail or the first thing in the way.",
        unit="reading",
        may_be_zero=True,
        default="default_ledge_front",
    ),
    _instrument(
        "ledge_rear",
        "Guide rail free behind the wires",
        "length",
        "From the wires towards the tail to the edge of the guide rail or the first thing in the way.",
        unit="reading",
        may_be_zero=True,
        default="default_ledge_rear",
    ),
    _instrument(
        "top_reach",
        "Reach over the top damped section",
        "length",
        "Along the rail, from the bass-side edge of that section's first head to its last string.",
        unit="reading",
        default="span + remaining notes x pitch",
    ),
    _instrument(
        "cable_run",
        "Cable run",
        "length",
        "From the hand lever's place to the rail, along the path of the cable.",
        unit="reading",
        default="default_cable_run",
    ),
    _instrument("remarks", "Remarks", "text", "Anything the shop should know."),
)

SECTION_FIELDS: tuple[Field, ...] = (
    _section("register", "Register", "choice", "bass, tenor or treble.", required=True, choices=REGISTERS),
    _section(
        "dampers",
        "Number of dampers",
        "count",
        "Count the heads twice. 0 for a strut's section beyond the last damper.",
        required=True,
    ),
    _section(
        "notes",
        "Notes, if more than dampers",
        "count",
        "Only where the section has more notes than dampers.",
        required=True,
        required_when="the section has 0 dampers",
        default="number of dampers; in the top damped section the notes that remain of 88",
    ),
    _section(
        "span",
        "Span over the heads",
        "length",
        "Outer edge of the first head to outer edge of the last. With 0 dampers: first string to last string.",
        unit="reading",
        required=True,
    ),
    _section(
        "run",
        "Seven-space run",
        "length",
        "Bass-side edge of one head to the bass-side edge of the seventh head after it: in mid-section, in a treble "
        "section at its treble end.",
        unit="reading",
        required=True,
        required_when="the section has 8 dampers or more",
    ),
    _section(
        "run_end",
        "Second seven-space run",
        "length",
        "The same at the treble end of the section, in a treble section at its bass end. Settles doubt in long "
        "sections.",
        unit="reading",
    ),
    _section(
        "angle_1",
        "String angle to the rail",
        "angle",
        "Dampers lifted; from the rail's treble direction round to the string's tailward direction. Below 90 the "
        "strings lean to the treble.",
        unit="deg",
        required=True,
        required_when="the angle was not read again either",
    ),
    _section(
        "angle_2",
        "String angle, read again",
        "angle",
        "Set the gauge afresh; either string of a pair, the middle one of three.",
        unit="deg",
    ),
    _section(
        "strut",
        "Strut on the tail side",
        "yes_no",
        "Of the damper line, within the section.",
        required=True,
        choices=YES_NO,
    ),
    _section(
        "hole_low",
        "Wire hole at the low end out of line",
        "yes_no",
        "Towards the keyboard; seen only next to the bass-tenor strut.",
        choices=YES_NO,
        default="no",
    ),
    _section(
        "hole_high",
        "Wire hole at the high end out of line",
        "yes_no",
        "Towards the keyboard; seen only next to the bass-tenor strut.",
        choices=YES_NO,
        default="no",
    ),
    _section(
        "hole_offset_low",
        "Low hole: by how much",
        "length",
        "How far that wire stands towards the keyboard from the line of the others.",
        unit="reading",
        may_be_zero=True,
        default="default_hole_offset",
    ),
    _section(
        "hole_offset_high",
        "High hole: by how much",
        "length",
        "How far that wire stands towards the keyboard from the line of the others.",
        unit="reading",
        may_be_zero=True,
        default="default_hole_offset",
    ),
    _section(
        "screws",
        "Guide-rail screws",
        "screws",
        "For each screw, the number of heads above it, counted down from the treble end: 7; 11 - or none.",
        required=True,
        required_when="the section has dampers",
    ),
    _section(
        "gauge_low",
        "Clear gauge, low end",
        "length",
        "Thickest gauge block on the guide rail that the string does not touch on a hard blow, heard or felt.",
        unit="reading",
        may_be_zero=True,
        required=True,
        required_when="there is no rest gap at that end",
    ),
    _section(
        "gauge_high",
        "Clear gauge, high end",
        "length",
        "The same at the section's last string.",
        unit="reading",
        may_be_zero=True,
        required=True,
        required_when="there is no rest gap at that end",
    ),
    _section(
        "rest_low",
        "Gap at rest, low end",
        "length",
        "Guide rail to string, nothing moving. In the treble it may stand alone; elsewhere beside the clear gauge.",
        unit="reading",
        required=True,
        required_when="there is no clear gauge at that end",
    ),
    _section(
        "rest_high",
        "Gap at rest, high end",
        "length",
        "Guide rail to the section's last string, nothing moving.",
        unit="reading",
        required=True,
        required_when="there is no clear gauge at that end",
    ),
    _section(
        "singles",
        "Single strings",
        "count",
        "Notes of one string in the section (the lowest ones).",
        default="default_singles_bass, default_singles_tenor, default_singles_treble",
    ),
    _section(
        "doubles",
        "Double strings",
        "count",
        "Notes of two strings in the section (above the singles; the rest are triples).",
        default="default_doubles_bass, default_doubles_tenor, default_doubles_treble",
    ),
    _section(
        "room_low",
        "Room to the plate, low end",
        "length",
        "From the outer edge of the first head to the plate, along the rail.",
        unit="reading",
        may_be_zero=True,
    ),
    _section(
        "room_high",
        "Room to the plate, high end",
        "length",
        "From the outer edge of the last head (in the top section from the last string) to the plate, along the rail.",
        unit="reading",
        may_be_zero=True,
    ),
    _section(
        "gap_next",
        "Gap to the next section",
        "length",
        "From the last head's outer edge to the first head of the section above.",
        unit="reading",
        may_be_zero=True,
        default="default_gap_next",
    ),
)


@lru_cache(maxsize=MAX_SECTIONS + 1)
def fields_of_section(section: int) -> tuple[Field, ...]:
    """List one section's fields with their full keys, in measuring order."""
    return tuple(field.in_section(section) for field in SECTION_FIELDS)


def all_fields(sections: int = MAX_SECTIONS) -> Iterator[Field]:
    """Go through every field with its full key: the instrument's, then section by section from the bass."""
    yield from INSTRUMENT_FIELDS
    for section in range(1, sections + 1):
        yield from fields_of_section(section)


@lru_cache(maxsize=1)
def field_by_key() -> dict[str, Field]:
    """Look a field up by its full key."""
    return {field.key: field for field in all_fields()}


def _known_field(key: str) -> Field:
    return field_by_key()[key]
