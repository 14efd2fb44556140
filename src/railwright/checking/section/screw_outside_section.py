"""A guide-rail screw has more heads above it than the section has."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.words import counted
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="fix",
    catches="More heads above a screw than the section has dampers.",
    why="A screw drawn in the wrong gap puts a station on the real one.",
    do="Count the heads above the screw again, from the treble end.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for every screw with more heads above it than there are."""
    if section.dampers is None:
        return
    for heads in section.screws or ():
        if heads > section.dampers:
            yield Hit(
                section.key("screws"),
                f"expected at most {counted(section.dampers, 'head')} above a screw, as many as the section has, "
                f"found {heads}. Count them again, from the treble end.",
            )
