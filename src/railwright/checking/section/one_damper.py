"""A section of a single damper has no spacing."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="fix",
    catches="A section with exactly one damper.",
    why="With one wire there is no spacing to reckon from, and no gap for a station.",
    do="Count again; a strut beyond the last damper is entered with 0 dampers.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for a section of one damper."""
    if section.dampers == 1:
        yield Hit(section.key("dampers"), "expected 0, or 2 or more, found 1. Count again, from strut to strut.")
