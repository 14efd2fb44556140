"""A gap under the strings is outside what grands have."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.plausible import implausible
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="confirm",
    catches="A clear gauge or a gap at rest outside the plausible range.",
    why="The height decides whether a rail fits at all.",
    do="Read the gap again and look at its unit.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each height that is out of range."""
    readings = {
        "gauge_low": section.gauge_low_mm,
        "gauge_high": section.gauge_high_mm,
        "rest_low": section.rest_low_mm,
        "rest_high": section.rest_high_mm,
    }
    low, high = book.value("gap_low"), book.value("gap_high")
    for name, gap in readings.items():
        do = "Read it again, from guide rail to string, and look at the unit."
        yield from implausible(survey, section.key(name), gap, low, high, do)
