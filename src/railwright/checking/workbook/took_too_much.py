"""The file took more time or memory than a survey ever does."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="A file that was given up because it took more time or memory than any survey.",
    why="Nothing in it reached the shop; the rest of the folder was still processed.",
    do="Open it, delete what does not belong to the survey, save, and send it again.",
)
