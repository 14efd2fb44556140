"""A table as every output writes it: named columns with their kind and unit, and rows of plain values."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Literal

Kind = Literal["words", "day", "count", "number", "share", "money", "flag"]
Value = str | int | float | Decimal | date | None


@dataclass(frozen=True, slots=True)
class Column:
    """One column. ``kind`` says how values are shown; ``unit`` stands in the heading; ``help`` says what they mean."""

    key: str
    label: str
    kind: Kind = "words"
    unit: str = ""
    help: str = ""

    @property
    def heading(self) -> str:
        """The label with its unit."""
        return f"{self.label}, {self.unit}" if self.unit else self.label


@dataclass(frozen=True, slots=True)
class Table:
    """A table with its title, a sentence or two on how to read it, and its rows in order."""

    name: str
    title: str
    about: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]

    @property
    def explained(self) -> str:
        """What the headings mean that need a word, in sentences."""
        return " ".join(f"{column.label}: {column.help}." for column in self.columns if column.help)


def table(name: str, title: str, about: str, columns: Iterable[Column], rows: Iterable[tuple[Value, ...]]) -> Table:
    """Make a table.

    Args:
        name: a short name for files and sheets.
        title: its heading.
        about: how to read it.
        columns: left to right.
        rows: each with as many values as there are columns.

    Returns:
        The table.

    Raises:
        ValueError: a row has another number of values.
    """
    shown, kept = tuple(columns), tuple(rows)
    if any(len(row) != len(shown) for row in kept):
        raise ValueError(f"a row of the table {name} has not {len(shown)} values")
    return Table(name, title, about, shown, kept)


def day_of(text: str | None) -> date | None:
    """Give the day of a moment or day as the ledger keeps it, in UTC; ``None`` for none."""
    return None if not text else datetime.fromisoformat(text).date()


def days_between(earlier: date | None, later: date | None) -> int | None:
    """Count the days from one day to another; ``None`` where either is not known."""
    return None if earlier is None or later is None else (later - earlier).days
