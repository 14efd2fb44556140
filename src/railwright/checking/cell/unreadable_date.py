"""A day cannot be read, or can be read in two ways."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A date that is not year-month-day, that does not exist, or that lies in another century.",
    why="Purchasing and the saw work by the day a kit is needed.",
    do="Write the day as year-month-day.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer, "unreadable_date", "a day as year-month-day, such as 2031-04-09", "Write it as year-month-day."
    )
