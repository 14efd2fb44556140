"""The cell of an answer is gone."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches="A cell that lost the mark of its answer: its name is missing, deleted, or spans several cells.",
    why="The answer cannot be found any more, wherever it stands on the sheet.",
    do="Copy the readings into a fresh blank survey workbook.",
)
