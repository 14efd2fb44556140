"""The guide rail is deeper than guide rails are."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.plausible import implausible
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A depth of guide rail free in front of or behind the wires beyond the plausible one.",
    why="A carrier that is too wide for the real ledge hangs over its edge or meets what stands there.",
    do="Measure from the wires to the edge of the guide rail again.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each side that is out of range."""
    do = "Measure from the wires to the edge of the guide rail again."
    for key, depth in (("ledge_front", survey.ledge_front_mm), ("ledge_rear", survey.ledge_rear_mm)):
        yield from implausible(survey, key, depth, 0.0, book.value("ledge_high"), do)
