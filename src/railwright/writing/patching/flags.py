"""What is to be marked in a copy of a workbook."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Severity = Literal["fix", "confirm", "note"]

WORDS: dict[Severity, str] = {"fix": "Fix", "confirm": "Confirm", "note": "Note"}
"""The word that stands beside each colour, worst first: nobody has to tell colours apart."""


@dataclass(frozen=True, slots=True)
class Flag:
    """One marked cell.

    Attributes:
        sheet: Name of the sheet.
        cell: Address of the cell; inside a merged area its top left cell is marked.
        severity: ``fix``, ``confirm`` or ``note``; several flags on one cell show the worst colour.
        note: What the note of the cell says, without the word of the severity.
        remark_cell: Cell that is to show ``remark`` in the open, or ``None``. It is written only where it is empty or
            holds an earlier remark of ours.
        remark: The short text for it.
    """

    sheet: str
    cell: str
    severity: Severity
    note: str
    remark_cell: str | None = None
    remark: str = ""


@dataclass(frozen=True, slots=True)
class FindingRow:
    """One line of the list of findings; ``sheet`` and ``cell`` are empty where a finding has no place."""

    severity: Severity
    sheet: str
    cell: str
    field: str
    what_to_do: str


@dataclass(frozen=True, slots=True)
class FindingsSheet:
    """The extra sheet: a heading and one line a finding."""

    heading: str
    rows: Sequence[FindingRow] = ()
