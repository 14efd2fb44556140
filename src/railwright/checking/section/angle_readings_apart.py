"""The two readings of the string angle are further apart than reading explains."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.angles import mirrored
from railwright.checking.base import Hit, Rule
from railwright.checking.words import degrees
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="confirm",
    catches="Two angle readings that differ by more than the shop allows.",
    why="The angle sets the mitre and the length of the segment.",
    do="Read the angle a third time and write the two that agree.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit where the readings differ, unless they mirror each other about 90 degrees."""
    first, second, spread = section.angle_1_deg, section.angle_2_deg, book.value("angle_spread")
    if first is None or second is None or mirrored(first, second, spread):
        return
    if abs(first - second) > spread:
        yield Hit(
            section.key("angle_2"),
            f"expected within {spread:g} degrees of the first reading, {degrees(first)}, found {degrees(second)}. "
            "Read the angle a third time and write the two that agree.",
        )
