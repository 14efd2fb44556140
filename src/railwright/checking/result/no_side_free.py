"""The segment finds room on neither side of the wires."""

from __future__ import annotations

from collections.abc import Mapping

from railwright.checking.base import Facts, Rule
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="A section with a strut or too little guide rail behind the wires, and too little in front of them.",
    why="The carrier has nothing to lie on.",
    do="Look at the strut again, and measure the guide rail on both sides of the wires.",
)

MESSAGE = (
    "the segment finds room on neither side of the wires. {behind}; in front it is {front} deep, "
    "and the narrowest carrier needs {needed}. Look again on both sides; if it is right, add a narrower carrier to "
    "the shop book."
)


def words(facts: Facts, survey: Survey) -> Mapping[str, str]:
    """Say what keeps the segment from lying behind the wires."""
    strut = facts["strut"] == "yes"
    return {"behind": "Behind them stands a strut" if strut else f"Behind them the guide rail is {facts['rear']} deep"}
