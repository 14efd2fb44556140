"""Notes of a single string are counted above the bass."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="confirm",
    catches="Single-string notes in a tenor or treble section.",
    why="Singles are the lowest notes; counted elsewhere they make the force at the lever too small.",
    do="Count the strings of each note in this section again.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for a section above the bass with singles."""
    if section.singles and section.register in ("tenor", "treble"):
        yield Hit(
            section.key("singles"),
            f"expected none in the {section.register}, found {section.singles}. Count the strings of each note again.",
        )
