"""How sure a reading is, and what stands in for a blank one.

A reading that was taken is used alone, with the uncertainty of reading it; the shop book's usual value, with its own
larger uncertainty, is used only where the cell is blank, and every such use is handed on as a ``DefaultUsed``.
"""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from railwright.book.model import ShopBook
from railwright.computing.results import DefaultUsed
from railwright.survey.records import SectionSurvey, Survey

End = Literal["low", "high"]


class Effective(NamedTuple):
    """A value in use (mm), its standard uncertainty (mm), and the default it came from, if it did."""

    value: float
    u: float
    default: DefaultUsed | None


class EffectiveCount(NamedTuple):
    """A count in use, and the default it came from, if it did."""

    value: int
    default: DefaultUsed | None


def resolution_u(step: float) -> float:
    """Standard uncertainty of rounding to a step: r / sqrt(12), the rectangular law of full width r.

    Source: JCGM 100:2008, 4.3.7 and F.2.2.1.

    Args:
        step: reading step r, any unit; 0 for a value that was not rounded.

    Returns:
        The standard uncertainty in the same unit.
    """
    return step / math.sqrt(12.0)


def reading_u(step_mm: float, u_set: float) -> float:
    """Standard uncertainty of one reading: rounding to the step and setting the tape, in root sum of squares.

    Args:
        step_mm: reading step, mm.
        u_set: standard uncertainty of setting the tape or gauge, mm.

    Returns:
        The standard uncertainty, mm.
    """
    return math.hypot(resolution_u(step_mm), u_set)


def u_of(key: str, survey: Survey, book: ShopBook) -> float:
    """Standard uncertainty of the reading in one field, mm, with the step that this field was read to."""
    return reading_u(survey.step_of(key), book.value("u_set"))


def angle_u(readings: int, book: ShopBook) -> float:
    """Standard uncertainty of the mean of equally good angle readings, degrees.

    Args:
        readings: how many readings the mean is taken of, 1 or more.
        book: gives the angle step and the uncertainty of setting the angle gauge.

    Returns:
        The standard uncertainty of one reading divided by the root of their number, degrees.
    """
    return reading_u(book.value("angle_step"), book.value("u_angle")) / math.sqrt(readings)


def theta(section: SectionSurvey, book: ShopBook) -> tuple[float, float] | None:
    """Angle of the strings to the rail: the mean of the readings there are, with its standard uncertainty.

    Args:
        section: the section's readings.
        book: gives the angle step and the uncertainty of setting the angle gauge.

    Returns:
        Angle and standard uncertainty, degrees; ``None`` when neither angle was read.
    """
    angles = [angle for angle in (section.angle_1_deg, section.angle_2_deg) if angle is not None]
    if not angles:
        return None
    return math.fsum(angles) / len(angles), angle_u(len(angles), book)


def head_width(survey: Survey, book: ShopBook) -> Effective:
    """Width of one damper head along the rail."""
    return _length("head_width", survey.head_width_mm, "default_head_width", survey, book)


def wire_diameter(survey: Survey, book: ShopBook) -> Effective:
    """Diameter of one damper wire."""
    return _length("wire_diameter", survey.wire_diameter_mm, "default_wire_diameter", survey, book)


def ledge_front(survey: Survey, book: ShopBook) -> Effective:
    """Guide rail free in front of the wires."""
    return _length("ledge_front", survey.ledge_front_mm, "default_ledge_front", survey, book)


def ledge_rear(survey: Survey, book: ShopBook) -> Effective:
    """Guide rail free behind the wires."""
    return _length("ledge_rear", survey.ledge_rear_mm, "default_ledge_rear", survey, book)


def cable_run(survey: Survey, book: ShopBook) -> Effective:
    """Cable from the hand lever to the rail."""
    return _length("cable_run", survey.cable_run_mm, "default_cable_run", survey, book)


def gap_next(section: SectionSurvey, survey: Survey, book: ShopBook) -> Effective:
    """Gap from this section's last head to the first head of the section above."""
    return _length(section.key("gap_next"), section.gap_next_mm, "default_gap_next", survey, book)


def hole_offset(section: SectionSurvey, end: End, survey: Survey, book: ShopBook) -> Effective:
    """How far the wire at one end stands towards the keyboard; 0 where its hole is in line with the others.

    An offset that was read counts even where the yes/no cell was left blank; a plain *no* makes it 0.

    Args:
        section: the section's readings.
        end: which end of the section.
        survey: gives the reading step.
        book: gives the usual offset, used where the hole is out of line but nobody measured by how much.

    Returns:
        The offset, its standard uncertainty, and the default used, if one was.
    """
    out_of_line = section.hole_low if end == "low" else section.hole_high
    offset = section.hole_offset_low_mm if end == "low" else section.hole_offset_high_mm
    if out_of_line is False or (out_of_line is None and offset is None):
        return Effective(0.0, 0.0, None)
    return _length(section.key(f"hole_offset_{end}"), offset, "default_hole_offset", survey, book)


def singles(section: SectionSurvey, notes: int, book: ShopBook) -> EffectiveCount:
    """Notes of one string in a section of so many notes; never more than there are notes.

    The usual number of singles belongs to the lowest section alone: strings get no thinner again further up.

    Args:
        section: the section's readings.
        notes: how many notes the section has.
        book: gives the usual number by register.

    Returns:
        The count, and the default used, if one was.
    """
    if section.singles is None and section.register == "bass" and section.number > 1:
        used = DefaultUsed(section.key("singles"), "the lowest section has them", 0, "notes")
        return EffectiveCount(0, used)
    return _count(section, "singles", section.singles, notes, book)


def doubles(section: SectionSurvey, notes: int, book: ShopBook) -> EffectiveCount:
    """Notes of two strings in a section of so many notes; never more than the notes above its singles.

    Args:
        section: the section's readings.
        notes: how many notes the section has.
        book: gives the usual number by register.

    Returns:
        The count, and the default used, if one was.
    """
    return _count(section, "doubles", section.doubles, notes - singles(section, notes, book).value, book)


def _length(key: str, reading: float | None, source: str, survey: Survey, book: ShopBook) -> Effective:
    if reading is not None:
        return Effective(reading, u_of(key, survey, book), None)
    value = book.value(source)
    return Effective(value, book.value(f"{source}_u"), DefaultUsed(key, source, value, "mm"))


def _count(section: SectionSurvey, name: str, reading: int | None, most: int, book: ShopBook) -> EffectiveCount:
    if reading is not None:
        return EffectiveCount(max(0, min(reading, most)), None)
    if section.register is None:
        return EffectiveCount(0, DefaultUsed(section.key(name), "no register given", 0, "notes"))
    source = f"default_{name}_{section.register}"
    value = max(0, min(round(book.value(source)), most))
    return EffectiveCount(value, DefaultUsed(section.key(name), source, value, "notes"))
