"""A piece is longer than any bar or sheet that the shop can have."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="A carrier or a felt strip longer than every stock length of its item.",
    why="It cannot be cut in one piece.",
    do="Add a longer stock length to the shop book, or survey the section in two parts.",
)

MESSAGE = (
    "Section {section} needs {length} mm of {item}; the longest to be had is {longest} mm. "
    "Add a longer stock length to the shop book."
)
