"""A formula was never worked out."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A formula in a file that no office program has saved since it was written.",
    why="Formulas are not worked out here; the reading is not in the file.",
    do="Open the file in an office program and save it, or type the reading itself.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer,
        "formula_without_result",
        "a reading",
        "Open the file in an office program and save it, or type the reading itself.",
        tell_cause=False,
    )
