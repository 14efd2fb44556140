"""A formula's error stands in the cell."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="An error value such as #REF! or #DIV/0!.",
    why="Nothing was read here.",
    do="Write the reading itself.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(answer, "error_in_cell", "a reading", "Type the reading itself over it.")
