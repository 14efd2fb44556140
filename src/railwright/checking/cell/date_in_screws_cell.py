"""An office program turned a list of screws into a date."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A day where the list of guide-rail screws belongs: a typed 7/11 becomes a day.",
    why="Which gaps hold screws decides where stations may stand.",
    do="Write the list again with semicolons: 7; 11.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer,
        "date_in_screws_cell",
        "the heads above each screw, such as 7; 11, or none",
        "Write it again with semicolons, or with an apostrophe before it.",
    )
