"""More single and double strings than the section has notes."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="confirm",
    catches="Singles and doubles that add up to more than the notes of the section.",
    why="The strings give the force at the lever.",
    do="Count the singles and doubles of this section again.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit where singles and doubles exceed the notes."""
    notes = section.notes if section.notes is not None else section.dampers
    counted = (section.singles or 0) + (section.doubles or 0)
    if notes and counted > notes:
        yield Hit(
            section.key("doubles" if section.doubles else "singles"),
            f"expected at most {notes} single and double notes together, as many as the section has, "
            f"found {counted}. Count them again.",
        )
