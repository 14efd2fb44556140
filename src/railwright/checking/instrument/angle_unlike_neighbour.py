"""The string angle jumps from one section to the next."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.words import degrees
from railwright.computing.readings import theta
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="Angles of neighbouring sections above the bass that differ by more than pianos show.",
    why="Above the bass the strings turn little by little; a jump is a misread angle and scraps a mitred segment.",
    do="Read the angles of this section and the one below it again.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit at the upper of two neighbouring sections whose angles differ too much."""
    most = book.value("angle_jump")
    above_bass = [section for section in survey.sections if section.register in ("tenor", "treble")]
    for lower, upper in pairwise(above_bass):
        below, above = theta(lower, book), theta(upper, book)
        if below is not None and above is not None and abs(above[0] - below[0]) > most:
            yield Hit(
                upper.key("angle_1"),
                f"expected within {most:g} degrees of section {lower.number}, {degrees(below[0])}, "
                f"found {degrees(above[0])}. Read the angles of both sections again.",
            )
