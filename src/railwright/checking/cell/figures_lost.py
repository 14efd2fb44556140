"""A long number lost its last figures."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A number of more than 15 figures in a cell that is not text: the program has made the last ones zeros.",
    why="A serial or order number with wrong figures belongs to another piano or order.",
    do="Format the cell as text and write the whole number again.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(
        answer,
        "figures_lost",
        "every figure of the number",
        "Write the whole number again.",
    )
