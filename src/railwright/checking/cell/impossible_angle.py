"""An angle is not one between 0 and 180 degrees."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="An angle of 0 or less, or of 180 degrees or more.",
    why="No string lies along the rail, so the mitre cannot be sawn from it.",
    do="Read the angle again, from the rail's treble direction round to the string.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    expected = "an angle between 0 and 180 degrees"
    yield from on_problem(answer, "impossible_angle", expected, "Read the angle again.", tell_cause=False)
