"""A day cannot be read, or can be read two ways."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A date that is not year-month-day.",
    why="Orders are grouped by the day they are needed.",
    do="Write year-month-day.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer, "unreadable_date", "a day as year-month-day, such as 2031-04-09", "Write it as year-month-day."
    )
