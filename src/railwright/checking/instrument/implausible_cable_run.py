"""The cable is shorter or longer than cables are."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.plausible import implausible
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A cable run outside the plausible range.",
    why="A cable that is too short is made again, with another visit.",
    do="Measure along the path of the cable again, and look at the unit.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit when the cable run is out of range."""
    low, high = book.value("cable_low"), book.value("cable_high")
    do = "Measure along the path of the cable again, and look at the unit."
    yield from implausible(survey, "cable_run", survey.cable_run_mm, low, high, do)
