"""The serial number cannot be the whole one."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.words import quoted
from railwright.survey.records import Survey

RULE = Rule(
    severity="note",
    catches="A serial number of only a sign or two, or without any figure.",
    why="The kit and every later part are found by the whole number.",
    do="Copy every letter and figure, cast or stamped.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit when the serial number has too few signs or no figure."""
    if not survey.serial:
        return
    signs = [sign for sign in survey.serial if sign.isalnum()]
    fewest = int(book.value("serial_signs"))
    if len(signs) < fewest or not any(sign.isdigit() for sign in signs):
        yield Hit(
            "serial",
            f"expected {fewest} letters and figures or more, one of them a figure, found “{quoted(survey.serial)}”. "
            "Copy every letter and figure, cast or stamped.",
        )
