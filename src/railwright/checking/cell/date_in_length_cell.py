"""An office program turned a fraction into a date."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A day, or the bare number by which programs store one, where a length belongs: a typed 3/8 becomes a day.",
    why="What was read is lost, and 3/8 and 8/3 leave the same day behind: guessing it back is not safe.",
    do="Write it again with its whole inches, for example 0 3/8, or as a decimal such as 0.375.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer,
        "date_in_length_cell",
        "a length",
        "Look at your notes and write it again with its whole inches, for example 0 3/8, "
        "or as a decimal such as 0.375.",
    )
