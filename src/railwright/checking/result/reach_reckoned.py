"""The reach over the top section was reckoned, not measured."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="note",
    catches="A blank reach over a top damped section that has undamped notes above its last damper.",
    why="Where the strings lie closer or wider there, the top segment ends too early or too late.",
    do="Measure the reach if you are at the piano again.",
)

MESSAGE = (
    "the reach over the top damped section was not measured; {reach} was reckoned from span and "
    "pitch for its {notes} notes."
)
