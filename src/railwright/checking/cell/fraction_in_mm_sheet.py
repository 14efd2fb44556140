"""A fraction stands on a millimetre sheet."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A fraction without a unit on a sheet whose readings are in millimetres.",
    why="Taken as millimetres the part would be some twenty-five times too short.",
    do="Add the unit to the reading, such as 12 1/8 in, or write it in millimetres.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer,
        "fraction_in_mm_sheet",
        "millimetres, since the sheet is in mm",
        "Otherwise write it in millimetres.",
    )
