"""The damper wires are thinner or thicker than damper wires are."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.plausible import implausible
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A wire diameter outside the plausible range.",
    why="Stations and carrier keep clear of the wires by it.",
    do="Measure the thickness of one damper wire again.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit when the wire diameter is out of range."""
    low, high = book.value("wire_low"), book.value("wire_high")
    do = "Measure the thickness of one damper wire again."
    yield from implausible(survey, "wire_diameter", survey.wire_diameter_mm, low, high, do)
