"""railwright itself failed on this file."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="A fault of the program, not of the survey.",
    why="The rest of the folder was still processed.",
    do="Send the file and the message to whoever keeps railwright.",
)
