"""A fraction is on no rule or tape."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A fraction whose lower figure is not 2, 4, 8, 16, 32 or 64, or that is not less than one.",
    why="No rule has such a mark, so a figure was mistyped, and nobody can tell which.",
    do="Read it again and write a fraction of the rule, such as 12 3/8.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(answer, "impossible_fraction", "a fraction of the rule, such as 12 3/8", "Read it again.")
