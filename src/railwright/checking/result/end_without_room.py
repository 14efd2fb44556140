"""A segment meets the plate before it covers its outer string."""

from __future__ import annotations

from collections.abc import Mapping

from railwright.checking.base import Facts, Rule
from railwright.checking.words import length
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="A room to the plate smaller than the clearance that every end keeps.",
    why="The segment would touch the plate, and rattle or jam.",
    do="Measure the room to the plate again.",
)

MESSAGE = (
    "expected at least {clearance_mm:.1f} mm between the outer head and the plate at the {end} "
    "end, found {as_read}. Measure the room again; if it is right, the segment cannot cover its outer string."
)


def words(facts: Facts, survey: Survey) -> Mapping[str, str]:
    """Spell the room as it was written."""
    return {"as_read": length(survey, "", float(facts["room_mm"]))}
