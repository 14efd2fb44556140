"""A length is beyond anything on a piano."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A length of many metres, or feet where only inches make sense.",
    why="It cannot be what was read, so nothing is sized from it.",
    do="Read it again and look at its unit and its decimal point.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer,
        "impossible_length",
        "a length as found on a piano",
        "Read it again and look at its unit and its decimal point.",
    )
