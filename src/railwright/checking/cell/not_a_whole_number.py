"""A count is not a whole number."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A fraction or a negative number where a count belongs.",
    why="Counts give the notes and the wires to clear.",
    do="Count again and write a whole number.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(answer, "not_a_whole_number", "a whole number, 0 or more", "Count again.")
