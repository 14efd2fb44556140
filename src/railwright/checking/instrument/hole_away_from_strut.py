"""A wire hole is said to be out of line away from the bass-tenor strut."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A hole marked out of line at an end that is not next to the bass-tenor strut.",
    why="Such holes are seen only beside that strut; a notch at the wrong end spoils the carrier.",
    do="Look at the wires at both sides of the bass-tenor strut again.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each hole out of line that is not at the end of the bass or the start of what follows."""
    bass = [s.number for s in survey.sections if s.register == "bass"]
    if not bass or not all(s.register for s in survey.sections):
        return
    allowed = {f"s{max(bass)}_hole_high", f"s{max(bass) + 1}_hole_low"}
    for section in survey.sections:
        for end, hole in (("low", section.hole_low), ("high", section.hole_high)):
            key = section.key(f"hole_{end}")
            if hole and key not in allowed:
                yield Hit(
                    key,
                    "found yes, but holes are out of line only next to the bass-tenor strut. "
                    "Look again which wire it is.",
                )
