"""The list of guide-rail screws cannot be read."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="Screws that are neither a list of different whole numbers nor the word none.",
    why="A station on a screw does not sit, and a screw that is missed fouls the carrier.",
    do="Write the heads above each screw, from the treble end: 7; 11 - or none.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer,
        "unreadable_screws",
        "the heads above each screw, such as 7; 11, or none",
        "Count again from the treble end and write the list.",
    )
