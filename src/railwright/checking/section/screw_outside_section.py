"""A guide-rail screw has more heads above it than the section has."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="fix",
    catches="A screw index beyond the section's count of dampers.",
    why="A screw in the wrong gap puts a station on it.",
    do="Count the heads above the screw again, from the treble end.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for every screw index beyond the number of dampers."""
    if section.dampers is None:
        return
    for heads in section.screws or ():
        if heads > section.dampers:
            yield Hit(
                section.key("screws"),
                f"Expected at most {section.dampers} heads above a screw, found {heads}. "
                "Count them again, from the treble end.",
            )
