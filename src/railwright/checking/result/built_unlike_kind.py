"""A section that is built unlike earlier pianos of the maker and model."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="note",
    catches="A section whose readings agree with each other, but which is built unlike every earlier piano of the "
    "maker and model.",
    why="Makers change a model from some serial number on. The wires are then placed by this piano's readings alone.",
    do="Nothing, if maker and model are right. Otherwise correct them.",
)

MESSAGE = (
    "count, span and run fit together, but earlier pianos of this maker and model have {kin}. By the readings it is "
    "a changed design ({percent} %). Check maker, model and serial number."
)
