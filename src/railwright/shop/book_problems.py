"""What is wrong with a shop book: every problem with its cell, what belongs there and what stands there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BookProblem:
    """One cell that cannot be used. ``cell`` is empty where a whole sheet or file is meant."""

    sheet: str
    cell: str
    expected: str
    found: str

    def __str__(self) -> str:
        """Spell the problem as one sentence with its address."""
        place = f"{self.sheet}!{self.cell}" if self.cell else self.sheet
        return f"{place}: expected {self.expected}; found {self.found}"


class BadShopBook(Exception):
    """A shop book that no run should start with. ``problems`` lists everything that is wrong, in reading order."""

    def __init__(self, file: str, problems: Sequence[BookProblem]) -> None:
        """Collect the problems of one file.

        Args:
            file: the shop book's file name.
            problems: at least one.
        """
        self.file = file
        self.problems = tuple(problems)
        count = "1 thing" if len(self.problems) == 1 else f"{len(self.problems)} things"
        lines = "\n".join(f"  {problem}" for problem in self.problems)
        super().__init__(f"{count} to put right in {file}:\n{lines}")
