"""A section has fewer notes than dampers."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="fix",
    catches="A number of notes below the number of dampers.",
    why="Every damper belongs to a note, so one of the counts is wrong.",
    do="Count notes and dampers again.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit where the notes are fewer than the dampers."""
    if section.notes is not None and section.dampers is not None and section.notes < section.dampers:
        yield Hit(
            section.key("notes"),
            f"expected at least {section.dampers}, one note a damper, found {section.notes}. "
            "Count both again; leave the notes empty where they are as many as the dampers.",
        )
