"""No lift presses the felt rightly at every string."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="A gap that varies more along a section than the felt can take up.",
    why="Some strings would sound on while the felt is crushed under others.",
    do="Read the gap at rest at both ends again.",
)

MESSAGE = (
    "no lift presses the felt rightly at every string. The gap at rest is {low} at the low and "
    "{high} at the high end, and the thickest felt ({thickest}) takes up {window}. Read both gaps again; if they are "
    "right, add a thicker felt or a stiffer carrier to the shop book."
)
