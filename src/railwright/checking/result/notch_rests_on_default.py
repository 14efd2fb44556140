"""A notch was reckoned from a usual value, not from a reading."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="confirm",
    catches=(
        "A notch that may turn out too deep for the carrier, since nobody measured how far the wire stands out of line."
    ),
    why="A notch that is too shallow meets the wire, one that is too deep breaks the carrier.",
    do="Measure how far that wire stands out of line.",
)

MESSAGE = (
    "a notch of {depth} was reckoned from the usual offset, which is known only to within {doubt}, and "
    "{carrier} bears {half} at most. Measure how far the wire stands out of line."
)
