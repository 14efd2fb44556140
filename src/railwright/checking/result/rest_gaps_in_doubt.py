"""The gaps at rest cannot be levelled as read, but within the doubt of the readings they can."""

from __future__ import annotations

from collections.abc import Mapping

from railwright.checking.base import Facts, Rule
from railwright.checking.words import gap_at_rest
from railwright.computing.sharpening import finer_steps
from railwright.survey.lengths import spell_length
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="Gaps at rest that tilt by more than can be levelled as read, but not if each is a little off.",
    why="If the readings are right, the shims that level the segment lift it into the strings.",
    do="Read the gap at rest at both ends to a finer step, and try clear gauges.",
)

MESSAGE = (
    "as read, {low} at the low and {high} at the high end cannot be levelled; within the doubt of the readings they "
    "can. Shims, lift and pressing are reckoned for {low_eased} low and {high_eased} high. Read both {finer}."
)


def words(facts: Facts, survey: Survey) -> Mapping[str, str]:
    """Spell the gaps as they were written, and the finest step that is finer than the one read."""
    steps = finer_steps(survey.step_mm or 0.0, survey.unit)
    finer = f"to {spell_length(steps[-1], survey.unit or 'mm', steps[-1])}" if steps else "again"
    return {end: gap_at_rest(facts, end, survey) for end in ("low", "high")} | {"finer": finer}
