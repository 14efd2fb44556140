"""The sections have more notes than a keyboard."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="Notes of all sections that add up to more than the keyboard has.",
    why="A damper counted twice shifts every note name and lengthens a segment.",
    do="Count the dampers and notes of each section again.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit, at the count of the largest section, when the notes exceed the keyboard."""
    counts = {s.number: s.notes if s.notes is not None else s.dampers or 0 for s in survey.sections}
    total, most = sum(counts.values()), int(book.value("notes_total"))
    if total > most:
        largest = max(survey.sections, key=lambda section: counts[section.number])
        yield Hit(
            largest.key("dampers" if largest.notes is None else "notes"),
            f"expected at most {most} notes over all sections, found {total} "
            f"({' + '.join(str(count) for count in counts.values())}). Count each section again.",
        )
