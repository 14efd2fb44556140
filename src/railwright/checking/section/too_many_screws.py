"""A section has more guide-rail screws than sections have."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.words import counted
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="confirm",
    catches="More guide-rail screws in one section than plausible.",
    why="Every screw takes a gap away from the stations, and a list of other numbers is easily written here.",
    do="Look at the screws again; write only the heads above each, from the treble end.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for a section with more screws than the shop book finds plausible."""
    screws, most = section.screws or (), int(book.value("screws_most"))
    if len(screws) > most:
        yield Hit(
            section.key("screws"),
            f"expected at most {counted(most, 'screw')}, found {len(screws)}. "
            "Write one number a screw: the heads above it, from the treble end.",
        )
