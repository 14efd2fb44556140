"""A string angle is outside what grands have."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.words import degrees
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="confirm",
    catches="An angle outside the plausible range.",
    why="A wrong angle scraps a mitred segment.",
    do="Read the angle again.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each reading out of range."""
    low, high = book.value("angle_low"), book.value("angle_high")
    for name, angle in (("angle_1", section.angle_1_deg), ("angle_2", section.angle_2_deg)):
        if angle is not None and not low <= angle <= high:
            yield Hit(
                section.key(name),
                f"expected {low:g} to {high:g} degrees, found {degrees(angle)}. Read the angle again.",
            )
