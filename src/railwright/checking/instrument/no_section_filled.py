"""No section at all is filled in."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="A survey with an empty damper line.",
    why="There is nothing to size.",
    do="Fill in the sections from the bass up.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit when there is no section."""
    if not survey.sections:
        yield Hit("s1_dampers", "no section is filled in. Fill in the sections from the bass up.")
