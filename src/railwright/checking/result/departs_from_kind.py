"""Readings that agree with each other, but not with earlier pianos of the maker and model."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="confirm",
    catches="A count, span or run that by earlier surveys of the same maker and model looks like a slip, and not like "
    "a changed design.",
    why="Pianos of one model are built alike. A miscount in a long section shows when it is held against the others, "
    "where the readings alone would hide it.",
    do="Look at this reading again; correct it, or confirm that this piano is built so.",
)

MESSAGE = (
    "unlike earlier pianos of this maker and model, which have {kin}. By them a slip is likely ({percent} %), "
    "else the design was changed. {words} Look again and correct it, or confirm that this piano is built so."
)
