"""No section is in the bass, or none in the treble."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="Sections that all have a register, but none of them bass, or none treble.",
    why="Notes are numbered from the lowest section up, so a section that was left out shifts every note name.",
    do="Look whether a section was left out, or a register chosen wrongly.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit, at the end of the keyboard where a register is missing."""
    registers = [section.register for section in survey.sections]
    if not registers or None in registers:
        return
    ends = (("bass", survey.sections[0], "lowest"), ("treble", survey.sections[-1], "highest"))
    for register, section, end in ends:
        if register not in registers:
            yield Hit(
                section.key("register"),
                f"expected {register} in the {end} section, found {section.register}. "
                "Look whether a section was left out, or a register chosen wrongly.",
            )
