"""The shop book offers nothing to make the segment from."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="A shop book without a carrier, felt and foot that can all be had.",
    why="Nothing can be chosen for any section.",
    do="Ask the shop to complete its shop book.",
)

MESSAGE = (
    "the shop book has {carriers} carriers, {felts} felts and {feet} feet, but no combination of "
    "them that can be bought. Add what is missing to its sheets Carriers, Felts, Hardware and Stock."
)
