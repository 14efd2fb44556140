"""The string angle jumps from one section to the next."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.words import degrees
from railwright.computing.readings import theta
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="confirm",
    catches="Angles of neighbouring sections above the bass that differ by more than pianos show.",
    why="Above the bass the strings turn little by little; a jump is a misread angle and scraps a mitred segment.",
    do="Read the angles of this section and the one below it again.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit at the upper of two neighbouring sections whose angles differ too much.

    A section unlike both its neighbours, which are alike, is the odd one: it alone is asked for.
    """
    most = book.value("angle_jump")
    read = [(s, theta(s, book)) for s in survey.sections if s.register in ("tenor", "treble")]
    angles = [(section, angle[0] if angle else None) for section, angle in read]
    odd = {
        b.number
        for (_, x), (b, y), (_, z) in _threes(angles)
        if _jump(x, y, most) and _jump(y, z, most) and not _jump(x, z, most)
    }
    for (lower, below), (upper, above) in pairwise(angles):
        if below is None or above is None or not _jump(below, above, most) or lower.number in odd:
            continue
        again = "Read the angles of both sections again."
        yield Hit(
            upper.key("angle_1"),
            f"expected within {most:g} degrees of section {lower.number}, {degrees(below)}, found {degrees(above)}. "
            + ("The section above it agrees with that one: read this angle again." if upper.number in odd else again),
        )


def _threes(
    angles: list[tuple[SectionSurvey, float | None]],
) -> Iterator[tuple[tuple[SectionSurvey, float | None], ...]]:
    return zip(angles, angles[1:], angles[2:], strict=False)


def _jump(one: float | None, other: float | None, most: float) -> bool:
    return one is not None and other is not None and abs(one - other) > most
