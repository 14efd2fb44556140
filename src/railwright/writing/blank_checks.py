"""The live checks of the blank survey: what the sheet itself works out while the technician is still at the piano."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from openpyxl.formatting.rule import Rule
from openpyxl.styles import Font, PatternFill
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.worksheet.worksheet import Worksheet

from railwright.shop.sheet_look import INK
from railwright.survey.fields import INSTRUMENT_FIELDS

BAND = "While you are still at the piano: worked out by the sheet itself"

LOOK_AGAIN = PatternFill("solid", bgColor="F4C77B")


@dataclass(frozen=True, slots=True)
class Check:
    """One row of results: the row of the workings that it shows, its label and help."""

    shows: str
    label: str
    help: str


CHECKS = (
    Check("expected", "Span expected", "From the count, the run and the head width; in the sheet's unit."),
    Check("difference", "Span read less expected", "Above 0 the span was read longer than expected."),
    Check("words", "Count, span and run", "“look again” at the unit, the count, span and run."),
    Check("angle_words", "Angle readings", "“look again”: read the angle a third time, keep the two that agree."),
    Check("missing", "Needed cells still empty", "In each section that was begun."),
)

#: Shown only where earlier pianos of the maker and model are known, and only once the technician has counted.
EARLIER_COUNTS = Check(
    "earlier_words", "Dampers and earlier ones", "Earlier pianos of this maker and model, once you have counted."
)

MISSING_OF_INSTRUMENT = Check("", "Needed above, still empty", "Of the instrument's own cells at the top.")


def number_format(check: Check, unit: str) -> str:
    """Give the format of a check's cells: hundredths of an inch, tenths of a millimetre, whole counts."""
    if check.shows in ("expected", "difference"):
        return "0.00" if unit == "in" else "0.0"
    return "0"


def formula_of(check: Check, section: int, workings: Mapping[str, list[str]]) -> str:
    """Show one row of the workings for one section, 1 at the bass."""
    return f"={workings[check.shows][section - 1]}"


def instrument_formula() -> str:
    """Count the needed cells of the instrument that are still empty."""
    return "=" + "+".join(f'IFERROR(IF(TRIM({one.key})="",1,0),0)' for one in INSTRUMENT_FIELDS if one.required)


def mark_look_again(page: Worksheet, area: str, first: str) -> None:
    """Shade and embolden the cells of an area that say to look or count again; the words say it without any colour.

    Args:
        page: The survey sheet.
        area: The cells, such as ``B50:E51``.
        first: Its top left cell, to which the rule is relative.
    """
    look = DifferentialStyle(fill=LOOK_AGAIN, font=Font(bold=True, color=INK))
    rule = Rule(type="expression", dxf=look, formula=[f'OR({first}="look again",RIGHT({first},11)="count again")'])
    page.conditional_formatting.add(area, rule)
