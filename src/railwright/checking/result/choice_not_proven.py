"""The parts work, but cheaper ones may."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="note",
    catches="A section with too many ways to place its stations for all of them to be ruled out.",
    why="The segment fits and does its work; it may cost a little more than need be.",
    do="Nothing needs to be done.",
)

MESSAGE = "the parts work, but there were too many ways to place the stations to prove that no cheaper ones do."
