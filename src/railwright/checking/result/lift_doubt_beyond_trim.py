"""The gap at rest is known too roughly for the lift."""

from __future__ import annotations

from collections.abc import Mapping

from railwright.checking.base import Facts, Rule
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A gap at rest whose doubt is larger than what the link can trim at fitting.",
    why="The felt may not reach the strings, or may press too hard, and the link cannot make up for it.",
    do="Read the gap at rest to a finer step.",
)

MESSAGE = (
    "the gap at rest at the {end} end ({rest}) is known only to within {doubt}, and the link trims {trim} either way. "
    "{advice}"
)


def words(facts: Facts, survey: Survey) -> Mapping[str, str]:
    """Ask for a finer step where one is fine enough, otherwise for a reading where there may be none."""
    finer = facts["finer_step"]
    return {"advice": f"Read it to {finer}." if finer else "Read it again with the finest rule at hand."}
