"""The registers do not rise from the bass."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.fields import REGISTERS
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A bass section above a tenor one, or a tenor above a treble.",
    why="Swing, string force and the place of the run go by register.",
    do="Look at the registers again; section 1 is the lowest.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each section whose register is lower than that of the section below it."""
    known = [(s, REGISTERS.index(s.register)) for s in survey.sections if s.register]
    for (below, low), (above, high) in pairwise(known):
        if high < low:
            wanted = f"{below.register} or higher" if below.register != "treble" else "treble"
            yield Hit(
                above.key("register"),
                f"expected {wanted} above a {below.register} section, found {above.register}. "
                "Look at the registers again; section 1 is the lowest.",
            )
