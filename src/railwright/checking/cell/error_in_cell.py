"""A formula's error stands in the cell."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="An error value such as #REF! or #DIV/0!, or a number without end.",
    why="There is no reading in the cell.",
    do="Type the reading itself over the formula.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(answer, "error_in_cell", "a reading", "Type the reading itself over it.", tell_cause=False)
