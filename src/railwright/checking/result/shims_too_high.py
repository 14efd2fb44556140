"""The gap at rest differs more between the ends than shims level."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="Two ends of a section whose gaps at rest are further apart than the highest shim.",
    why="The segment cannot be set parallel to the strings; often one of the two readings is a slip.",
    do="Read the gap at rest at both ends again.",
)

MESSAGE = (
    "the gap at rest is {low} at the low and {high} at the high end, {tilt} apart, and shims "
    "level {most} at most. Read both again; if they are right, allow higher shims in the shop book."
)
