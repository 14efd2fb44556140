"""A bass or tenor section was measured at rest only."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import SectionSurvey, Survey
from railwright.survey.requirements import is_blank

RULE = Rule(
    severity="note",
    catches="A gap at rest without a clear gauge in the bass or tenor.",
    why="How far the strings swing is then taken from the shop book, not from this piano.",
    do="Try the gauge blocks on a hard blow if the height turns out tight.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each bass or tenor end with a gap at rest but no clear gauge."""
    if section.register not in ("bass", "tenor"):
        return
    ends = (("low", section.gauge_low_mm, section.rest_low_mm), ("high", section.gauge_high_mm, section.rest_high_mm))
    for end, gauge, rest in ends:
        key = section.key(f"gauge_{end}")
        if gauge is None and rest is not None and is_blank(survey.answers.get(key)):
            swing = book.value(f"swing_{section.register}")
            yield Hit(
                key,
                f"no reading, so the usual swing of {swing:g} mm in the {section.register} is taken off the gap at "
                "rest. Try the gauge blocks on a hard blow if the height turns out tight.",
            )
