"""The lever was found too heavy, but not every way was tried."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="note",
    catches="An instrument whose lever is too heavy, with too many ways to place stations to try all smaller lifts.",
    why="Parts with smaller lifts may have been passed over; that none are light enough is then no proof.",
    do="A longer lever serves in any case; shorter sections are searched to the end.",
)

MESSAGE = (
    "no lifts were found small enough for the lever, but there were too many ways to place the stations to try them "
    "all, so that is not proven."
)
