"""The side of the wires was chosen by a usual value, not by a reading."""

from __future__ import annotations

from collections.abc import Mapping

from railwright.checking.base import Facts, Rule
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A segment that only fits on its side if the guide rail is as deep as the shop book takes for usual.",
    why="Where the real guide rail is less deep, the carrier hangs over its edge.",
    do="Measure the guide rail on this side of the wires.",
)

MESSAGE = (
    "the segment lies {where} the wires because the usual ledge of {ledge} was taken. That is "
    "known only to within {doubt}, and {carrier} needs {needed}. Measure the guide rail there."
)


def words(facts: Facts, survey: Survey) -> Mapping[str, str]:
    """Name the side as a place."""
    return {"where": "behind" if facts["side"] == "rear" else "in front of"}
