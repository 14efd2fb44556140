"""A number cannot be read because the sheet states no unit."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import counted, quoted
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="Bare numbers on a sheet that does not say whether it is in inches or millimetres; told once a sheet.",
    why="12 could be inches or millimetres.",
    do="Fill in the unit of the readings at the top of the sheet.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit at the first length that waits for a unit; the others of the sheet are only counted."""
    if answer.problem != "unit_unknown":
        return
    waiting = [each for each in survey.answers.values() if each.problem == "unit_unknown"]
    if waiting[0] is answer:
        others = f"{counted(len(waiting) - 1, 'other length')} cannot be read either. " if waiting[1:] else ""
        yield Hit(
            answer.field.key,
            f"expected a length with its unit, since the sheet names none, found “{quoted(answer.text)}”. {others}"
            "Fill in the unit of the readings at the top of the sheet.",
        )
