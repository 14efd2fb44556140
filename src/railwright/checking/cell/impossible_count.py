"""A count is higher than a keyboard has notes."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A count above 88.",
    why="Counts give the notes and the wires to clear.",
    do="Count again and write the number.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(answer, "impossible_count", "a whole number from 0 to 88", "Count again.")
