"""Count, span and run disagree so far that the wires cannot be placed."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="Count, span and run so far apart that no row of wires goes with all of them.",
    why="Nothing can be placed between wires whose places are not known.",
    do="Count the heads and measure span and run again.",
)

MESSAGE = (
    "with {dampers} heads, a span of {span} and the runs as written the wires would not stand in a row. No parts were "
    "chosen for this section; count the heads and measure span and run again."
)
