"""Lengths: inches with fractions, decimals, metric, with or without their unit."""

from __future__ import annotations

import math
import re
from datetime import date
from fractions import Fraction
from functools import lru_cache

from railwright.reading.figures import Figure, exact, read_figure
from railwright.reading.parsed import Cell, Conventions, Parsed, problem, unusable
from railwright.reading.slipped_dates import in_words, slipped_day, slipped_text, typed_in_words
from railwright.reading.spelling import plain_answer
from railwright.survey.units import to_mm

#: No straight reading at a piano is longer: the whole damper line is about 1.3 m (common practice, no source). Tells
#: ``12'`` for twelve inches from twelve feet, and ``1,234`` from a number with a thousands comma.
LONGEST_READING_MM = 2_000

#: Beyond this nothing was measured at all. A span in mm read as inches (700 in) stays below, so that the slip is named;
#: 1.125 whose point a program took for a thousands sign (1125 in) does not.
ABSURD_MM = 25_000
_THOUSAND = 1_000

_UNIT_WORDS = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("in", "inch", "inches", "ins", '"', "zoll"), "in"),
    **dict.fromkeys(("ft", "foot", "feet", "'"), "ft"),
}
_NUMBER_THEN_UNIT = re.compile(r"([0-9][0-9 ./,+-]*?|[.,][0-9]+) ?([a-z]+\.?|[\"'])?")
_FEET_AND_INCHES = re.compile(
    r"([0-9]{1,3}) ?(?:'|ft\.?|feet|foot)[ -]?([0-9][0-9 ./,+-]*?) ?(?:\"|in\.?|inch|inches)?"
)
_SPOKEN = re.compile(r"(?<=[0-9]) ?(?:&|\band\b) ?(?=[0-9]+ ?/)")
_BOTH_SEPARATORS = re.compile(r"[0-9]+([.,])[0-9]{3}(?:[.,][0-9]+)+")
_SPACED_THOUSANDS = re.compile(r"[0-9]{1,3}(?: [0-9]{3})+")
_THOUSANDS_LOOK = re.compile(r"([1-9][0-9]{0,2})[.,]([0-9]{3})")

UNIT_UNKNOWN = problem("unit_unknown")

_FINEST_METRIC_MM = Fraction(1, 10)
_INCH_STEPS = tuple(Fraction(1, n) for n in (8, 16, 32, 64))

#: The same few hundred lengths come back in every file of a run; written ones are short by now.
_REMEMBERED = 4096


def parse_length(cell: Cell, sheet: Conventions, may_be_zero: bool = False) -> Parsed:
    """Read a length.

    A number with its own unit is converted, and where that unit is not the sheet's its step is the natural one of what
    was written: 1/8 in for inches unless a finer fraction stands there, 1 mm for metric units unless figures after the
    point show 0.5 or 0.1 mm. A number in the sheet's unit that lies between the marks of the sheet's step, or a
    fraction written in finer parts (``8/32``), shows a finer step.

    Args:
        cell: The cell.
        sheet: Unit and step of the sheet.
        may_be_zero: Whether nothing at all is a possible reading.

    Returns:
        The length in mm as an exact fraction, and the step where the writing shows one; or a problem.
    """
    if (outcome := unusable(cell)) is not None:
        return outcome
    if isinstance(cell.value, date):
        return problem("date_in_length_cell", in_words(cell.value))
    if cell.kind == "number" and isinstance(cell.value, int | float):
        return _from_number(float(cell.value), sheet, may_be_zero)
    if cell.kind != "text":
        return problem("text_in_number_cell")
    return _from_text(cell.text, sheet, may_be_zero)


@lru_cache(maxsize=_REMEMBERED)
def _from_number(number: float, sheet: Conventions, zero: bool) -> Parsed:
    if not math.isfinite(number):
        return problem("error_in_cell", "the number is infinite or none at all")
    if (day := slipped_day(number, sheet.system_1904)) is not None:
        return _stored_day(f"{number:.0f}", day)
    if sheet.unit is None:
        return UNIT_UNKNOWN
    value = exact(number)
    if to_mm(value, sheet.unit) > ABSURD_MM and value >= _THOUSAND and value.denominator == 1:
        typed = f"{number / _THOUSAND:.3f}"
        return problem("impossible_length", f"it may be {typed}, with the point or comma taken for a thousands sign")
    return _judged(to_mm(value, sheet.unit), zero, _finer_step(Figure(abs(value)), sheet))


def _from_text(text: str, sheet: Conventions, zero: bool) -> Parsed:
    written = plain_answer(text)
    if written is None:
        return problem("text_in_number_cell", "the cell holds a whole text")
    return _from_written(written, sheet, zero)


@lru_cache(maxsize=_REMEMBERED)
def _from_written(written: str, sheet: Conventions, zero: bool) -> Parsed:
    sign = -1 if written.startswith("-") and len(written) > 1 else 1
    body = _SPOKEN.sub(" ", written[1:].lstrip() if written[:1] in ("-", "+") else written)
    if match := _FEET_AND_INCHES.fullmatch(body):
        return _feet_and_inches(match, sign, sheet, zero)
    match = _NUMBER_THEN_UNIT.fullmatch(body)
    figure = read_figure(match[1].strip()) if match else None
    own = _UNIT_WORDS.get((match[2] or "").rstrip(".")) if match else None
    if match is None or figure is None or (match[2] and own is None):
        return _not_a_length(written)
    day = slipped_day(float(figure.value), sheet.system_1904)
    if own is None and day is not None and not figure.fault:
        return _stored_day(body, day)
    return _in_a_unit(figure, match[1].strip(), sign, own, sheet, zero)


def _stored_day(written: str, day: date) -> Parsed:
    return problem("date_in_length_cell", f"{written} is how a program stores a day: {in_words(day)}")


def _not_a_length(written: str) -> Parsed:
    """Say what a text is that is no length: a day, a number with thousands signs, or words."""
    if (day := slipped_text(written)) is not None:
        return problem("date_in_length_cell", typed_in_words(day))
    if _BOTH_SEPARATORS.search(written) or _SPACED_THOUSANDS.match(written):
        return problem("ambiguous_number", f"write {written[:40]} without signs or spaces between the thousands")
    return problem("text_in_number_cell")


def _in_a_unit(figure: Figure, digits: str, sign: int, own: str | None, sheet: Conventions, zero: bool) -> Parsed:
    used = own or sheet.unit
    if figure.fault:
        return problem("impossible_fraction", figure.fault)
    if used is None:
        return UNIT_UNKNOWN
    if own is None and used == "mm" and figure.denominator:
        return problem("fraction_in_mm_sheet", f"{digits} looks like inches; if it is, write {digits} in")
    if _thousands_possible(digits, used):
        whole = re.sub("[.,]", "", digits)
        return problem("ambiguous_number", f"{digits} may be {float(figure.value)} mm or {whole} mm")
    mm = sign * to_mm(figure.value, used)
    if used == "ft" and mm > LONGEST_READING_MM:
        return problem("impossible_length", f"it reads as {digits} feet; if inches are meant, write {digits} in")
    step = _finer_step(figure, sheet) if used == sheet.unit else _natural_step(figure, used)
    return _judged(mm, zero, step)


def _thousands_possible(digits: str, unit: str) -> bool:
    """Tell whether ``1,234`` mm can mean either 1.234 mm or 1 234 mm at a piano."""
    match = _THOUSANDS_LOOK.fullmatch(digits) if unit == "mm" else None
    return match is not None and int(match[1] + match[2]) <= LONGEST_READING_MM


def _feet_and_inches(match: re.Match[str], sign: int, sheet: Conventions, zero: bool) -> Parsed:
    inches = read_figure(match[2].strip())
    if inches is None or inches.value >= 12:
        return problem("text_in_number_cell")
    total = Figure(12 * int(match[1]) + inches.value, inches.denominator, inches.decimals, inches.fault)
    if to_mm(total.value, "in") > LONGEST_READING_MM:
        return problem("impossible_length", f"{match.group()[:40]} is longer than any reading at a piano")
    return _in_a_unit(total, match[2], sign, "in", sheet, zero)


def _judged(mm: Fraction, may_be_zero: bool, step_mm: Fraction | None) -> Parsed:
    if mm < 0 or (mm == 0 and not may_be_zero):
        return problem("length_not_above_zero")
    if mm > ABSURD_MM:
        return problem("impossible_length", f"it would be {float(mm) / 1000:.0f} m long")
    return Parsed(mm, step_mm=step_mm)


def _finer_step(figure: Figure, sheet: Conventions) -> Fraction | None:
    """Give the step in mm that a number in the sheet's own unit shows, where it is finer than the sheet's."""
    if sheet.step_mm is None or sheet.unit is None:
        return None
    between_marks = (to_mm(figure.value, sheet.unit) / sheet.step_mm).denominator != 1
    written_finer = figure.denominator and to_mm(Fraction(1, figure.denominator), sheet.unit) < sheet.step_mm
    if not (between_marks or written_finer):
        return None
    shown = _shown_inch_step(figure) if sheet.unit == "in" else _shown_metric_step(figure.value)
    return None if shown is None or to_mm(shown, sheet.unit) >= sheet.step_mm else to_mm(shown, sheet.unit)


def _shown_inch_step(figure: Figure) -> Fraction | None:
    """Give the coarsest usual mark in inches on which the number lies, at least as fine as the fraction written."""
    finest = Fraction(1, max(8, figure.denominator))
    return next((mark for mark in _INCH_STEPS if mark <= finest and (figure.value / mark).denominator == 1), None)


def _shown_metric_step(mm: Fraction) -> Fraction:
    """Give 1, 0.5 or 0.1 mm, the coarsest of them on which the number lies."""
    return next((mark for mark in (Fraction(1), Fraction(1, 2)) if (mm / mark).denominator == 1), _FINEST_METRIC_MM)


def _natural_step(figure: Figure, unit: str) -> Fraction:
    """Give the step in mm of a reading whose unit is not the sheet's, as its writing shows it."""
    if unit in ("in", "ft"):
        shown = _shown_inch_step(figure) if unit == "in" else None
        return to_mm(shown or _INCH_STEPS[0], "in")
    return _shown_metric_step(to_mm(figure.value, unit))
