"""A section without dampers lies below one with dampers."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="A count of 0 dampers below a section that has some.",
    why="Only the highest notes have no dampers, so this count is wrong and every note above would be, too.",
    do="Count the dampers of this section again.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each section of 0 dampers that has a damped one above it."""
    damped = [section.number for section in survey.sections if section.dampers]
    for section in survey.sections:
        if section.dampers == 0 and section.number < max(damped, default=0):
            yield Hit(
                section.key("dampers"),
                f"expected some, since section {max(damped)} above it has dampers, found 0. Count them again.",
            )
