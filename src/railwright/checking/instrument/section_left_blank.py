"""A section between two others is blank."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.blanks import is_skipped
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="An empty column with filled sections above it.",
    why="Sections are taken from the bass up, so a column left out shifts every note above it.",
    do="Fill this section in, or move the ones above it down.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each wholly blank section that has a filled one above it."""
    for section in survey.sections:
        if is_skipped(survey, section):
            yield Hit(
                section.key("dampers"),
                "this section is blank, but one above it is filled. Fill it in, or move the sections above it down.",
            )
