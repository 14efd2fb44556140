"""Parts that would fit are lifted into the strings by the shims that level the gap at rest."""

from __future__ import annotations

from collections.abc import Mapping

from railwright.checking.base import Facts, Rule
from railwright.checking.words import gauge_block, length
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="Gaps at rest so far apart that the shims which level them lift the segment into the strings at one end.",
    why="The string would buzz on the rail; often one of the two readings is a slip.",
    do="Read the gap at rest at both ends again.",
)

MESSAGE = (
    "the gap at rest is {low} at the low and {high} at the high end. The shims that level it raise the parts by {rise} "
    "at the {end} end, to {stack}, but only {free} is free there under the hardest blow. The parts fit if the gap at "
    "rest is at most {most} at the {end} or at least {least} at the {other} end: read both again. If they are right, "
    "try a clear gauge of {block} at the {end} end; if the string does not touch it, the parts fit."
)


def words(facts: Facts, survey: Survey) -> Mapping[str, str]:
    """Spell the gaps as they were written, and name a block that would settle it."""
    gaps = {end: length(survey, "", float(facts[f"{end}_mm"])) for end in ("low", "high")}
    return gaps | {"block": gauge_block(survey, float(facts["gauge_mm"]))}
