"""No crank lifts the felt far enough, or little enough."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="A lift between parts and strings that none of the cranks in the shop book gives.",
    why="The felt would not reach the strings, or would be crushed against them.",
    do="Read the gap at rest again.",
)

MESSAGE = (
    "the felt would need a lift of {lift} (the gap at rest is {rest}, the parts stand {stack} "
    "tall), but the cranks in the shop book lift {least} to {most}. Read the gap at rest again; if it is right, add "
    "a crank to the shop book."
)
