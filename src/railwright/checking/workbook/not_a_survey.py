"""The workbook is no survey."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="A workbook whose cells are not marked as answers of a survey.",
    why="Nothing in it reached the shop.",
    do="Copy the readings into a blank survey workbook, or take the file out of the folder.",
)
