"""The sections have fewer notes than a keyboard."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.computing.notes_of_sections import top_damped
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="Notes of all sections, each of them written down, that add up to less than the keyboard has.",
    why="A note that is left out stays unmuted, and a damper that was missed shifts every note name.",
    do="Count the notes of each section again, the undamped ones too.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit, at the top damped section, when every count is known and the notes fall short."""
    top = top_damped(survey.sections)
    if top is None or survey.sections[top].notes is None:
        return
    counts = [s.notes if s.notes is not None else s.dampers for s in survey.sections]
    known = [count for count in counts if count is not None]
    total, wanted = sum(known), int(book.value("notes_total"))
    if len(known) == len(counts) and total < wanted:
        yield Hit(
            survey.sections[top].key("notes"),
            f"expected {wanted} notes over all sections, found {total} ({' + '.join(map(str, known))}). "
            "Count the notes of each section again, the undamped ones too.",
        )
