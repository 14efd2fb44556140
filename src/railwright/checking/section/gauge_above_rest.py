"""The gap at rest is smaller than a block that passed."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.words import length
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="fix",
    catches="A clear gauge thicker than the gap at rest at the same end; a hair above it is only to be confirmed.",
    why="One of the two is wrong, and the height of the whole stack hangs on them.",
    do="Try the block again, then read the gap at rest again.",
)

#: Two lengths this close (mm) are one reading, converted twice.
_NOTHING = 1e-6


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each end where the gauge is above the gap at rest."""
    ends = (("low", section.gauge_low_mm, section.rest_low_mm), ("high", section.gauge_high_mm, section.rest_high_mm))
    for end, gauge, rest in ends:
        if gauge is None or rest is None or rest >= gauge - _NOTHING:
            continue
        key = section.key(f"rest_{end}")
        rounded = gauge - rest < survey.step_of(key) / 2 - _NOTHING
        yield Hit(
            key,
            f"expected at least the clear gauge at the {end} end, {length(survey, key, gauge)}, "
            f"found {length(survey, key, rest)}. Try the block again, then read the gap again.",
            severity="confirm" if rounded else None,
        )
