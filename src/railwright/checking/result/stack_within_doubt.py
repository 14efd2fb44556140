"""The parts fit only within the doubt of a height reading."""

from __future__ import annotations

from collections.abc import Mapping

from railwright.checking.base import Facts, Rule
from railwright.checking.words import gauge_block
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A segment that, lowered, clears the strings by the reading, but not by its doubt.",
    why="A reading is off by as much now and then, and then the string strikes the rail.",
    do="Read this height to a finer step, or try a thicker gauge block.",
)

MESSAGE = (
    "the parts ({foot}, {carrier}, {felt}) stand {stack} tall at the {end} end under {free} of "
    "free height, which is known only to within {guard}: they fit, but not for certain. {advice}if the string does not "
    "touch it, the parts fit."
)


def words(facts: Facts, survey: Survey) -> Mapping[str, str]:
    """Say which reading would settle it: the same one to a finer step where that is enough, or a block."""
    block = f"a clear gauge of {gauge_block(survey, float(facts['gauge_mm']))}: "
    finer = facts["finer_step"]
    return {"advice": f"Read the {facts['kind']} to {finer}, or try {block}" if finer else f"Try {block}"}
