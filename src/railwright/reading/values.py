"""Read one answer: the parser that each kind of field has."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from fractions import Fraction

from railwright.reading.figures import exact, read_figure
from railwright.reading.lengths import parse_length
from railwright.reading.numbers import parse_angle, parse_count
from railwright.reading.parsed import Cell, Conventions, Parsed, problem, unusable
from railwright.reading.slipped_dates import fractions_behind, slipped_day, slipped_text
from railwright.reading.spelling import plain_answer
from railwright.reading.words import parse_choice, parse_date, parse_screws, parse_text, parse_yes_no
from railwright.survey.fields import STEPS, UNITS, Field
from railwright.survey.units import to_mm

_STEP = re.compile(r"([0-9.,/]+) ?(in|inch|inches|\"|mm)?")
_UNIT_SPELLINGS = {
    **dict.fromkeys(("in", "inch", "inches", "ins", '"'), "in"),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
}


def parse_answer(field: Field, cell: Cell, sheet: Conventions) -> Parsed:
    """Read one answer by the kind of its field.

    Args:
        field: The field.
        cell: What stands in its cell.
        sheet: Unit, step and way of counting days of the sheet.

    Returns:
        A length in mm or an angle in degrees as an exact fraction, a count, a truth value, a day, a tuple of counts, or
        text; nothing for a blank; a problem for what cannot be read. Never raises.
    """
    match field.kind:
        case "length":
            return parse_length(cell, sheet, field.may_be_zero)
        case "angle":
            return parse_angle(cell, sheet)
        case "count":
            return parse_count(cell, sheet)
        case "yes_no":
            return parse_yes_no(cell)
        case "choice":
            return _parse_special_choice(field, cell, sheet)
        case "date":
            return parse_date(cell, sheet)
        case "screws":
            return parse_screws(cell, sheet)
        case "text":
            return parse_text(cell)


def _parse_special_choice(field: Field, cell: Cell, sheet: Conventions) -> Parsed:
    if field.choices == STEPS:
        return parse_step(cell, sheet)
    return parse_unit(cell) if field.choices == UNITS else parse_choice(cell, field.choices)


def parse_unit(cell: Cell) -> Parsed:
    """Read the unit of the sheet's readings.

    Args:
        cell: The cell.

    Returns:
        ``in`` or ``mm``, or a problem.
    """
    written = (plain_answer(cell.text) or "").rstrip(".") if cell.kind == "text" else ""
    return Parsed(_UNIT_SPELLINGS[written]) if written in _UNIT_SPELLINGS else parse_choice(cell, UNITS)


def parse_step(cell: Cell, sheet: Conventions) -> Parsed:
    """Read the smallest step of the readings.

    A step that a program turned into a day is taken back where only one step can have been typed.

    Args:
        cell: The cell.
        sheet: The way of counting days.

    Returns:
        The step as one of ``STEPS``, or a problem.
    """
    if (outcome := unusable(cell)) is not None:
        return outcome
    day = _day_in(cell, sheet)
    steps = [step for step in STEPS if step in fractions_behind(day)] if day else _written_steps(cell)
    if len(steps) != 1:
        return problem("unknown_choice")
    return Parsed(steps[0], hint=f"Taken back from the day that a program made of {steps[0]}." if day else "")


def step_in_mm(step: str, unit: str | None) -> Fraction | None:
    """Convert one of ``STEPS`` to mm; ``None`` where it does not belong to the unit of the readings."""
    own = "in" if "/" in step else "mm"
    return to_mm(Fraction(step), own) if unit in (None, own) else None


def _day_in(cell: Cell, sheet: Conventions) -> date | None:
    if isinstance(cell.value, date):
        return cell.value
    if cell.kind == "number" and isinstance(cell.value, int | float):
        return slipped_day(float(cell.value), sheet.system_1904)
    return slipped_text(plain_answer(cell.text) or "")


def _written_steps(cell: Cell) -> list[str]:
    """Find the step that is written out, with or without its unit, or given as a decimal number."""
    if cell.kind == "number" and isinstance(cell.value, int | float):
        return [step for step in STEPS if Fraction(step) == exact(float(cell.value))]
    match = _STEP.fullmatch((plain_answer(cell.text) or "").rstrip("."))
    figure = read_figure(match[1]) if match else None
    if match is None or figure is None or figure.fault:
        return []
    unit = _UNIT_SPELLINGS.get(match[2] or "")
    possible = [step for step in STEPS if unit is None or (unit == "in") == ("/" in step)]
    return [step for step in possible if Fraction(step) == figure.value]


def as_number(parsed: Parsed) -> Parsed:
    """Turn an exact fraction into the floating-point number that computing works with."""
    return replace(parsed, value=float(parsed.value)) if isinstance(parsed.value, Fraction) else parsed
