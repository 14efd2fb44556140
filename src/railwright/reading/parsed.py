"""What a parser is given and what it hands back."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Protocol


class Cell(Protocol):
    """The content of one cell, as far as the parsers look at it.

    ``kind`` is ``blank``, ``text``, ``number``, ``bool``, ``date``, ``error`` or ``formula_without_result``; ``text``
    is the content as a person sees it.
    """

    @property
    def kind(self) -> str:
        """Say what sort of content it is."""

    @property
    def value(self) -> object:
        """Give the text, number, truth value or date; ``None`` for the other kinds."""

    @property
    def text(self) -> str:
        """Give the content as text."""


@dataclass(frozen=True, slots=True)
class Parsed:
    """The outcome for one cell.

    ``value`` is the answer, ``None`` for a blank or where there is a ``problem``: the name of the cell rule that
    explains it. ``hint`` adds a sentence on what is known of the cause, or on how an accepted answer was understood.
    ``step_mm`` is the reading step where the way the answer is written shows one.
    """

    value: object | None = None
    problem: str | None = None
    hint: str = ""
    step_mm: Fraction | None = None


BLANK = Parsed()


@dataclass(frozen=True, slots=True)
class Conventions:
    """What holds for a whole sheet: the unit of its lengths, the smallest step read, and how its days are counted.

    ``unit`` is ``in`` or ``mm``; it and ``step_mm`` are ``None`` where the sheet does not say. ``system_1904`` tells
    whether the workbook counts its days from 1904 instead of 1900.
    """

    unit: str | None = None
    step_mm: Fraction | None = None
    system_1904: bool = False


def problem(name: str, cause: str = "") -> Parsed:
    """Make the outcome of an answer that cannot be read; the cause becomes a sentence."""
    return Parsed(None, name, f"{cause[0].upper()}{cause[1:]}." if cause else "")


def unusable(cell: Cell) -> Parsed | None:
    """Give the outcome of a cell that holds no answer of any kind; ``None`` for one worth parsing.

    Args:
        cell: The cell.

    Returns:
        ``BLANK`` for a blank cell or one with only spaces, a problem for an error value and for a formula that was
        never calculated, else ``None``.
    """
    if cell.kind == "error":
        return problem("error_in_cell", f"the cell shows {cell.text[:40] or 'an error'}")
    if cell.kind == "formula_without_result":
        return problem("formula_without_result", "type the reading itself, or open and save the workbook once")
    return BLANK if cell.kind == "blank" or (cell.kind == "text" and not cell.text.strip()) else None
