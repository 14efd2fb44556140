"""The gaps at rest cannot be levelled as read, and clear gauges say that they are more alike."""

from __future__ import annotations

from collections.abc import Mapping

from railwright.checking.base import Facts, Rule
from railwright.checking.words import gap_at_rest
from railwright.survey.records import Survey

RULE = Rule(
    severity="note",
    catches="Gaps at rest that tilt by more than can be levelled, though the clear gauges at both ends agree on less.",
    why="A gap read to a coarse step tilts through rounding alone; the parts are reckoned for what the gauges say.",
    do="Nothing needs to be done; the link trims the lift at fitting.",
)

MESSAGE = (
    "as read, {low} at the low and {high} at the high end cannot be levelled under the strings. The clear gauges put "
    "the gap at {low_eased} low and {high_eased} high, within the doubt of the readings; shims, lift and pressing are "
    "reckoned for that."
)


def words(facts: Facts, survey: Survey) -> Mapping[str, str]:
    """Spell the gaps as they were written."""
    return {end: gap_at_rest(facts, end, survey) for end in ("low", "high")}
