"""A piece is longer than any bar or sheet that the shop can have."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="A carrier or a felt strip longer than every stock length of its item.",
    why="It cannot be cut in one piece.",
    do="Measure the span, or the reach, again.",
)

MESSAGE = (
    "{length} mm of {item} are needed in one piece, and the longest to be had is {longest} mm. "
    "Measure the {reading} again; if it is right, add a longer stock length to the shop book."
)
