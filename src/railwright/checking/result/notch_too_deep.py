"""A wire out of line asks for a notch that would break the carrier."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="A notch deeper than half the width of every carrier that could lie there.",
    why="What is left of the carrier beside the notch bends or breaks.",
    do="Measure again how far that wire stands out of line.",
)

MESSAGE = (
    "a wire out of line asks for a notch of {depth}, more than half the width of any carrier "
    "({half}). Measure the offset again; if it is right, add a wider carrier to the shop book."
)
