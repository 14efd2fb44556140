"""A length is zero or negative."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A length that cannot be: below zero, or zero where something must be.",
    why="No part can be sized from it.",
    do="Read it again; leave the cell empty if it was not read.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer,
        "length_not_above_zero",
        "zero or a length above it" if answer.field.may_be_zero else "a length above zero",
        "Read it again, or empty the cell if it was not read.",
    )
