"""The instrument has unusually few or many dampers."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A total of dampers outside the plausible range.",
    why="A section that was left out, or a count that is far off, shows here first.",
    do="Count again, and look whether a section was left out or counted twice.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit at the last damped section when the total is out of range and every count is known."""
    counts = [section.dampers for section in survey.sections]
    if not counts or None in counts:
        return
    total = sum(count or 0 for count in counts)
    low, high = int(book.value("dampers_low")), int(book.value("dampers_high"))
    if low <= total <= high:
        return
    last = max((s.number for s in survey.sections if s.dampers), default=survey.sections[-1].number)
    yield Hit(
        f"s{last}_dampers",
        f"expected {low} to {high} dampers over all sections, found {total} ({' + '.join(map(str, counts))}). "
        "Count again, and look whether a section was left out or counted twice.",
    )
