"""An offset is given for a wire hole that is in line."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="note",
    catches="A hole offset beside the answer no, or beside none.",
    why="The notch is only cut where the hole is said to be out of line.",
    do="Say yes for the hole, or empty the offset.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each end with an offset but no hole out of line."""
    ends = (
        ("low", section.hole_low, section.hole_offset_low_mm),
        ("high", section.hole_high, section.hole_offset_high_mm),
    )
    for end, hole, offset in ends:
        if offset is not None and not hole:
            yield Hit(
                section.key(f"hole_offset_{end}"),
                f"An offset of {offset:.1f} mm stands here, but the hole at the {end} end is not marked out of line; "
                "no notch is made. Mark the hole, or empty the offset.",
            )
