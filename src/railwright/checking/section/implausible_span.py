"""A span that nothing can be compared with is too short or too long."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.plausible import implausible
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="confirm",
    catches=(
        "A span outside what pianos have where the count is missing, or outside what its notes give where there "
        "is no damper."
    ),
    why="The segment is cut to it.",
    do="Measure the span again and look at its unit.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for a span out of range; with a count of dampers it is judged by the spacing instead."""
    low_pitch, high_pitch = book.value("pitch_low"), book.value("pitch_high")
    if section.dampers is None:
        low, high = low_pitch, high_pitch * book.value("dampers_high")
    elif section.dampers == 0 and section.notes is not None and section.notes >= 2:
        low, high = low_pitch * (section.notes - 1), high_pitch * (section.notes - 1)
    else:
        return
    do = "Measure it again and look at the unit."
    yield from implausible(survey, section.key("span"), section.span_mm, low, high, do)
