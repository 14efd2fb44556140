"""An office program turned a fraction into a date."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A date, or the bare day number of one, where a length belongs: typed 3/8 becomes a day.",
    why="The figure that was read is lost and cannot be guessed back safely.",
    do="Write it again as 0 3/8 or .375, or put an apostrophe before it.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer, "date_in_length_cell", "a length", "Write it again as 0 3/8, 0.375 or with an apostrophe before it."
    )
