"""The damper heads are narrower or wider than damper heads are."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.plausible import implausible
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A head width outside the plausible range.",
    why="The head width takes part in the place of every wire.",
    do="Measure one head again, along the rail, edge to edge.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit when the head width is out of range."""
    low, high = book.value("head_width_low"), book.value("head_width_high")
    do = "Measure one head again, along the rail, edge to edge."
    yield from implausible(survey, "head_width", survey.head_width_mm, low, high, do)
