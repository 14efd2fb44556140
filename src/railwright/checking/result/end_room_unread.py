"""A segment stands out far where nobody measured the room."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="confirm",
    catches=(
        "An end that stands out beyond the outer head by more than the usual room, with the room to the plate "
        "left blank."
    ),
    why="It may meet the plate.",
    do="Measure the room from the outer head to the plate.",
)

MESSAGE = (
    "the {end} end stands out {out} beyond the outer head, and nobody measured the room there; "
    "{usual} may be taken for granted. Measure the room to the plate."
)
