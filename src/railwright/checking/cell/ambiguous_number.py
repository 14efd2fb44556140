"""A number can be read in two ways."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A number with signs or spaces between its thousands, such as 1,234 mm.",
    why="Read one way the part is a thousand times as long as read the other way.",
    do="Write the number without any sign between its thousands.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer,
        "ambiguous_number",
        "a number that can be read in one way only",
        "Write it without any sign between its thousands.",
    )
