"""The file cannot be opened as a workbook."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="A file that is damaged, protected by a password, of an older kind, or no workbook at all.",
    why="Nothing in it reached the shop.",
    do="Save it as an .xlsx workbook and put it back into the folder.",
)
