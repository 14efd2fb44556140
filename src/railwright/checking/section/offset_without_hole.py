"""An offset is given for a wire hole that is in line."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.words import length
from railwright.survey.records import SectionSurvey, Survey
from railwright.survey.requirements import is_blank

RULE = Rule(
    severity="confirm",
    catches="A hole offset beside the answer no, or (then only a note) beside no answer.",
    why="With the answer no, no notch is cut; with no answer, the offset is believed and one is.",
    do="Say yes for the hole, or empty the offset.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each end with an offset but no hole said to be out of line."""
    ends = (
        ("low", section.hole_low, section.hole_offset_low_mm),
        ("high", section.hole_high, section.hole_offset_high_mm),
    )
    for end, hole, offset in ends:
        unreadable = hole is None and not is_blank(survey.answers.get(section.key(f"hole_{end}")))
        if not offset or hole or unreadable:
            continue
        key = section.key(f"hole_offset_{end}")
        said = "is not answered, so a notch is cut" if hole is None else "is answered with no, so no notch is cut"
        yield Hit(
            key,
            f"found {length(survey, key, offset)}, but whether the hole at the {end} end is out of line {said}. "
            "Say yes for the hole, or empty the offset.",
            severity="note" if hole is None else None,
        )
