"""Sorting flags by sheet and cell, the same for every format."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

from railwright.reading.addresses import parse_address
from railwright.writing.patching.flags import WORDS, Flag
from railwright.writing.patching.marks import our_line

Place = tuple[int, int]


class Places(Protocol):
    """What planning must know about a workbook."""

    def find_sheet(self, name: str) -> str | None:
        """Give a sheet's name as the workbook writes it, or ``None``; capitals do not matter."""

    def anchor(self, sheet: str, place: Place) -> Place:
        """Give the top left cell of the merged area around a cell, or the cell itself."""


@dataclass(slots=True)
class CellMarks:
    """All that is to be said about one cell, worst first."""

    flags: list[Flag] = field(default_factory=list)

    def lines(self) -> list[str]:
        """Give the lines of its note, each once."""
        return list(dict.fromkeys(our_line(flag.severity, flag.note) for flag in self.flags if flag.note.strip()))


Marked = dict[str, dict[Place, CellMarks]]


@dataclass(slots=True)
class FlagPlan:
    """What to mark and write, by sheet and cell, and sentences about what has no place."""

    marked: Marked = field(default_factory=dict)
    remarks: dict[tuple[str, Place], dict[str, str]] = field(default_factory=dict)
    problems: list[str] = field(default_factory=list)

    def remark_texts(self) -> dict[tuple[str, Place], str]:
        """Give the whole text of each remark cell."""
        return {where: "\n".join(lines.values()) for where, lines in self.remarks.items()}


def plan_flags(book: Places, flags: Sequence[Flag]) -> FlagPlan:
    """Sort flags by sheet and cell, the worst first.

    Several flags may share a remark cell: each remark is one line, the same one only once, with the worst word.

    Args:
        book: The workbook.
        flags: The flags in any order.

    Returns:
        The plan.
    """
    plan = FlagPlan()
    for flag in sorted(flags, key=_badness):
        sheet, place = book.find_sheet(flag.sheet), parse_address(flag.cell)
        if sheet is None or place is None:
            plan.problems.append(f"There is no cell {flag.cell!r} on a sheet {flag.sheet!r} to mark.")
            continue
        cells = plan.marked.setdefault(sheet, {})
        cells.setdefault(book.anchor(sheet, place), CellMarks()).flags.append(flag)
        _plan_remark(book, plan, sheet, flag)
    return plan


def _plan_remark(book: Places, plan: FlagPlan, sheet: str, flag: Flag) -> None:
    if flag.remark_cell is None or not flag.remark.strip():
        return
    place = parse_address(flag.remark_cell)
    if place is None:
        plan.problems.append(f"There is no cell {flag.remark_cell!r} on sheet {sheet!r} for a remark.")
        return
    lines = plan.remarks.setdefault((sheet, book.anchor(sheet, place)), {})
    lines.setdefault(flag.remark.strip(), our_line(flag.severity, flag.remark))


def _badness(flag: Flag) -> int:
    return list(WORDS).index(flag.severity)
