"""A word stands that is not among the choices."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import listed, on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="An answer outside the list of a dropdown, or neither yes nor no.",
    why="Unit, step, register, strut and holes steer every later step.",
    do="Choose from the list.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(answer, "unknown_choice", listed(answer.field.choices, "or"), "Choose from the list.")
