"""A wire hole stands farther out of line than holes do."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.plausible import implausible
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="confirm",
    catches="An offset of a wire hole beyond the plausible one.",
    why="The notch for that wire is cut as deep as the offset, and a deep notch breaks the carrier.",
    do="Measure how far that wire stands in front of the line of the others.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each end whose offset is out of range."""
    do = "Measure how far that wire stands in front of the line of the others."
    ends = (("low", section.hole_offset_low_mm), ("high", section.hole_offset_high_mm))
    for end, offset in ends:
        yield from implausible(survey, section.key(f"hole_offset_{end}"), offset, 0.0, book.value("offset_high"), do)
