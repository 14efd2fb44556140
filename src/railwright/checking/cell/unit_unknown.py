"""A number cannot be read because the sheet states no unit."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A bare number on a sheet that does not say whether it is in inches or millimetres.",
    why="12 could be inches or millimetres.",
    do="Fill in the unit of the readings at the top of the sheet.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer,
        "unit_unknown",
        "a length with its unit, since the sheet names none",
        "Fill in the unit of the readings at the top of the sheet.",
    )
