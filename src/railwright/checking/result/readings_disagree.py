"""Count, span and seven-space run of a section contradict each other."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="confirm",
    catches="A count, a span and a seven-space run that cannot all be right, whatever rounding explains.",
    why="One of them is a slip: the segment would come out the wrong length or its stations would meet the wires.",
    do="Look at this reading again; the note of the cell says what it looks like.",
)

MESSAGE = "the readings do not fit together. {words} Measure it again and correct or confirm it."
