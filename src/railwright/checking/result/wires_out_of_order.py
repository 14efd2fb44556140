"""Count, span, run and reach disagree so far that the strings cannot be placed."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="Count, span, run and reach so far apart that no row of strings goes with all of them.",
    why="Nothing can be placed between wires whose places are not known.",
    do="Count the heads, and measure span, run and reach again.",
)

MESSAGE = (
    "with {dampers} heads, a span of {span}{reach} and the runs as written the strings would not stand in a row. No "
    "parts were chosen for this section; count the heads and measure {measured} again."
)
