"""Count, span and run agree on a spacing that grands do not have."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="confirm",
    catches="Readings that agree with each other on a wire spacing outside the plausible range.",
    why="Readings that are all wrong in the same way, such as in the wrong unit, agree with each other.",
    do="Look at unit, count, span and run of this section again.",
)

MESSAGE = (
    "expected damper wires {low} to {high} mm apart, but count, span and run give {pitch} mm. "
    "Look at the unit and measure the section again, or confirm that the wires really stand so."
)
