"""No parts that work were found, but not every way was tried."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="note",
    catches="A section for which nothing was found to work, with too many ways to place its stations to try them all.",
    why="Parts that work may have been passed over; the finding that nothing fits is then no proof.",
    do="Put right what the other findings name; a shorter section is searched to the end.",
)

MESSAGE = (
    "no parts were found to work, but there were too many ways to place the stations to try them all, so that is not "
    "proven."
)
