"""An office program turned a name or number into a date."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A day where text belongs, such as an order or serial number with hyphens or slashes.",
    why="Parts, labels and letters would carry a number that nobody wrote.",
    do="Format the cell as text and write it again, or put an apostrophe before it.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer,
        "date_in_text_cell",
        "text as it was written",
        "Format the cell as text and write it again, or put an apostrophe before it.",
    )
