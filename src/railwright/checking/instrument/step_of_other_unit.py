"""The smallest step read belongs to the other unit."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.words import quoted
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="An inch step on a millimetre sheet, or the reverse.",
    why="The step says how far every reading can be trusted.",
    do="Choose the step that belongs to the unit.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit when unit and step do not belong together."""
    answer = survey.answers.get("reading_step")
    if answer is None or answer.value is None or survey.unit is None:
        return
    is_inch_step = "/" in str(answer.value)
    if is_inch_step != (survey.unit == "in"):
        wanted = "1/8, 1/16 or 1/32" if survey.unit == "in" else "1 or 0.5"
        yield Hit(
            "reading_step",
            f"expected {wanted} for readings in {survey.unit}, found “{quoted(answer.text)}”. "
            "Choose the step that belongs to the unit.",
        )
