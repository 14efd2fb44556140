"""Two surveys carry the same order number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from railwright.checking.base import Hit, Rule
from railwright.checking.groups import files_of, plain, same
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="An order number that stands on more than one workbook of the folder.",
    why="The parts would be made twice, or one piano's parts go to the other.",
    do="Correct the number, or take the superseded workbook out of the folder.",
)


def check(surveys: Sequence[Survey]) -> Iterator[Hit]:
    """Yield a hit for every survey whose order number another one has."""
    for survey, others in same(surveys, lambda each: plain(each.order_no) or None):
        yield Hit(
            "order_no",
            f"expected a number of its own, found {survey.order_no} also in {files_of(others)}. "
            "Correct it, or take the superseded workbook out of the folder.",
            survey.file,
        )
