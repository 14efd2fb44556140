"""No two feet find room near enough to the ends."""

from __future__ import annotations

from collections.abc import Mapping

from railwright.checking.base import Facts, Rule
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="A section without room for two stations between its wires, clear of screws and near enough to its ends.",
    why="A segment rests on its stations and needs two at least.",
    do="Check count, span and screws of this section.",
)

MESSAGE = (
    "no two feet find room near enough to the ends; a carrier reaches at most {overhang} beyond its last foot. {cause}"
)


def words(facts: Facts, survey: Survey) -> Mapping[str, str]:
    """Say what takes the room away; a section without dampers has no gaps to count."""
    if not facts["gaps"]:
        return {"cause": f"The span is too short for two feet of {facts['foot']}. Check the span."}
    if facts["gaps"] == 1:
        return {"cause": "There is only one gap between wires, and two feet need two. Check the count."}
    return {
        "cause": f"Of {facts['gaps']} gaps {facts['narrow']} are too narrow for a foot (the widest has {facts['gap']} "
        f"from wire to wire, {facts['needed']} are needed) and {facts['screws']} guide-rail screws stand in the way. "
        "Check count, span and screws; readings to a finer step also make room."
    }
