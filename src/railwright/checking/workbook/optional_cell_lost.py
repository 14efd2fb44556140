"""The cell of an answer that a survey can do without is gone."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="note",
    catches="Cells that lost the mark of an optional answer: the name is missing, deleted, or spans several cells.",
    why="The shop's usual values stand in for them, even where somebody wrote a reading beside the lost cell.",
    do="Copy the readings into a fresh blank survey workbook if any of them was taken.",
)
