"""What an input cell of the blank survey accepts: its number format, and the list or limits of a validation."""

from __future__ import annotations

from typing import Literal

from openpyxl.worksheet.datavalidation import DataValidation

from railwright.survey.fields import REGISTERS, STEPS, UNITS, YES_NO, Field
from railwright.survey.notes import LAST_NOTE

#: The dropdown lists on the hidden sheet, each behind a name of its own.
LISTS = {"list_register": REGISTERS, "list_yes_no": YES_NO, "list_unit": UNITS, "list_step": STEPS}

Rule = Literal["list", "whole", "decimal", "date"]

TEXT = "@"
_FORMATS = {"angle": "0.0", "count": "0", "date": "yyyy-mm-dd"}


def number_format(field: Field, unit: str) -> str:
    """Give the number format of an input.

    Lengths in inches are text, so that ``3/8`` stays what was typed: a general cell makes a day of it, and a cell with
    a number format keeps only that day's serial number. So are screws, order and serial numbers and the reading step.

    Args:
        field: The field.
        unit: The unit that the sheet is made for, ``in`` or ``mm``.

    Returns:
        The format code.
    """
    if field.kind == "length" and unit == "mm":
        return "0.0#"
    return _FORMATS.get(field.kind, TEXT)


def validations(fields_and_cells: list[tuple[Field, str]]) -> list[DataValidation]:
    """Make the dropdowns and limits of a sheet, one validation for all cells of a kind.

    Lengths, text and screws have none: they may be typed in many spellings, which the reader understands.

    Args:
        fields_and_cells: Every field with the address of its cell.

    Returns:
        The validations, to be added to the sheet.
    """
    made: dict[str, DataValidation] = {}
    for field, cell in fields_and_cells:
        kind = _list_of(field) or field.kind
        if kind not in made and (fresh := _validation(kind)) is not None:
            made[kind] = fresh
        if kind in made:
            made[kind].add(cell)
    return list(made.values())


def _list_of(field: Field) -> str | None:
    return next((name for name, choices in LISTS.items() if field.choices == choices), None)


def _validation(kind: str) -> DataValidation | None:
    if kind in LISTS:
        return _refusing(f"Choose from the list: {', '.join(LISTS[kind])}.", "list", kind)
    if kind == "count":
        return _refusing(f"A whole number from 0 to {LAST_NOTE}.", "whole", "0", str(LAST_NOTE))
    if kind == "angle":
        return _refusing("Degrees between 0 and 180; below 90 the strings lean to the treble.", "decimal", "1", "179")
    if kind == "date":
        return _refusing("A day as year-month-day, such as 2031-04-09.", "date", "36526", "73050")
    return None


def _refusing(words: str, rule: Rule, first: str, last: str | None = None) -> DataValidation:
    """Make a validation that refuses anything else with a sentence; dates are limited by their serial numbers."""
    return DataValidation(
        type=rule,
        operator="between" if last else None,
        formula1=first,
        formula2=last,
        allow_blank=True,
        showErrorMessage=True,
        errorStyle="stop",
        errorTitle="Please look again",
        error=words,
    )
