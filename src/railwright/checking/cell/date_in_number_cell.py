"""An office program turned a count or an angle into a date."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import numbers_like, on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A day, or the bare number by which programs store one, where a count or an angle belongs.",
    why="The number that was read is lost and cannot be guessed back safely.",
    do="Format the cell as a number and write the reading again.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer,
        "date_in_number_cell",
        numbers_like(answer.field),
        "Format the cell as a number and write the reading again.",
    )
