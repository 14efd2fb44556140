"""Counts and angles."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date
from fractions import Fraction

from railwright.reading.figures import exact, read_figure
from railwright.reading.parsed import Cell, Conventions, Parsed, problem, unusable
from railwright.reading.slipped_dates import in_words, slipped_day, slipped_text, typed_in_words
from railwright.reading.spelling import plain_answer
from railwright.survey.notes import LAST_NOTE

_DEGREES = re.compile(r"(-?)([0-9][0-9 ./,+-]*?) ?(?:°|º|deg\.?|degree|degrees)?")
_DEGREES_AND_MINUTES = re.compile(r"([0-9]{1,3}) ?° ?([0-9]{1,2}) ?'")
_HALF_TURN = 180


def parse_count(cell: Cell, sheet: Conventions) -> Parsed:
    """Read a count.

    Args:
        cell: The cell.
        sheet: How the workbook counts its days.

    Returns:
        A whole number from 0 to the 88 notes of the keyboard, or a problem.
    """
    number = _number(cell, sheet, _plain_figure)
    if isinstance(number, Parsed):
        return number
    if number.denominator != 1:
        return problem("not_a_whole_number")
    if number < 0:
        return problem("not_a_whole_number", "it is below nothing")
    if number > LAST_NOTE:
        return problem("impossible_count", f"a keyboard has {LAST_NOTE} notes")
    return Parsed(int(number))


def parse_angle(cell: Cell, sheet: Conventions) -> Parsed:
    """Read an angle in degrees, with or without its sign, with minutes or decimals.

    Args:
        cell: The cell.
        sheet: How the workbook counts its days.

    Returns:
        Degrees between 0 and 180, both excluded, as an exact fraction; or a problem.
    """
    number = _number(cell, sheet, _degrees)
    if isinstance(number, Parsed):
        return number
    if not 0 < number < _HALF_TURN:
        return problem("impossible_angle", "an angle to the rail lies between 0 and 180 degrees")
    return Parsed(number)


def _number(cell: Cell, sheet: Conventions, read: Callable[[str], Fraction | None]) -> Fraction | Parsed:
    """Get the number out of a cell, or the outcome that takes its place."""
    if (outcome := unusable(cell)) is not None:
        return outcome
    if isinstance(cell.value, date):
        return problem("date_in_number_cell", in_words(cell.value))
    if cell.kind == "number" and isinstance(cell.value, int | float):
        return _from_float(float(cell.value), sheet)
    written = plain_answer(cell.text) if cell.kind == "text" else None
    number = None if written is None else read(written)
    if number is None and written is not None and (day := slipped_text(written)) is not None:
        return problem("date_in_number_cell", typed_in_words(day))
    return problem("text_in_number_cell") if number is None else number


def _from_float(number: float, sheet: Conventions) -> Fraction | Parsed:
    if not math.isfinite(number):
        return problem("error_in_cell", "the number is infinite or none at all")
    if (day := slipped_day(number, sheet.system_1904)) is not None:
        return problem("date_in_number_cell", f"{number:.0f} is how a program stores a day: {in_words(day)}")
    return exact(number)


def _plain_figure(written: str) -> Fraction | None:
    sign = -1 if written.startswith("-") else 1
    figure = read_figure(written.removeprefix("-"))
    return None if figure is None or figure.fault else sign * figure.value


def _degrees(written: str) -> Fraction | None:
    if match := _DEGREES_AND_MINUTES.fullmatch(written):
        return int(match[1]) + Fraction(int(match[2]), 60) if int(match[2]) < 60 else None
    match = _DEGREES.fullmatch(written)
    return None if match is None else _plain_figure(match[1] + match[2].strip())
