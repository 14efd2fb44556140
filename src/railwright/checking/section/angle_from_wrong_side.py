"""A string angle looks as if it was read from the other side of the string."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.angles import mirrored
from railwright.checking.base import Hit, Rule
from railwright.checking.words import degrees
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="confirm",
    catches="A bass angle above 90 degrees, or two readings that mirror each other about 90 degrees.",
    why="From the wrong side of the string both mitres come out the wrong hand.",
    do="Read from the rail's treble direction round to the string's tailward direction.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for mirrored readings, or for a bass section whose strings seem to lean to the bass."""
    first, second, spread = section.angle_1_deg, section.angle_2_deg, book.value("angle_spread")
    if first is not None and second is not None and mirrored(first, second, spread):
        yield Hit(
            section.key("angle_2"),
            f"expected a reading like the first, {degrees(first)} degrees, found {degrees(second)}, its mirror "
            "about 90: one of the two was read from the wrong side. Read both again, from the treble direction.",
        )
    elif section.register == "bass":
        for name, angle in (("angle_1", first), ("angle_2", second)):
            if angle is not None and angle > 90 + spread:
                yield Hit(
                    section.key(name),
                    f"expected below 90 degrees in the bass, found {degrees(angle)}; "
                    f"read from the right side it would be {degrees(180 - angle)}. "
                    "Read it again, from the treble direction.",
                )
