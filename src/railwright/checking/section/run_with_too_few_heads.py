"""A seven-space run stands in a section too short for one."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.words import counted, length
from railwright.survey.records import SectionSurvey, Survey
from railwright.survey.requirements import HEADS_OF_A_RUN

RULE = Rule(
    severity="confirm",
    catches="A seven-space run beside a count of fewer than eight dampers.",
    why="Either the count is wrong, or the run was taken over fewer spaces; it is left out of the reckoning.",
    do="Count the heads again, or empty the cell of the run.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each run in a section of fewer than eight heads."""
    if section.dampers is None or section.dampers >= HEADS_OF_A_RUN:
        return
    for name, run in (("run", section.run_mm), ("run_end", section.run_end_mm)):
        if run is not None:
            key = section.key(name)
            yield Hit(
                key,
                f"expected no seven-space run with {counted(section.dampers, 'damper')}, "
                f"found {length(survey, key, run)}. Count the heads again, or empty this cell.",
            )
