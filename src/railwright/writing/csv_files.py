"""Tables as comma-separated text that office programs open rightly and cannot be made to run."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from pathlib import Path

from railwright.reporting.tables import Table, Value

#: What office programs take for the start of a formula, or strip off before they look for one.
_LIVE = ("=", "+", "-", "@", "\t", "\r", "\n")


def write_csv(table: Table, path: Path) -> None:
    """Write a table as UTF-8 with a mark at its start, which office programs need to read accents rightly.

    Texts that an office program would take for a formula get an apostrophe in front; numbers are written plainly,
    with a point for the decimals.

    Args:
        table: what to write; the heading row has the keys of its columns.
        path: the file to write; its folder is made.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([column.key for column in table.columns])
    writer.writerows([inert(value) for value in row] for row in table.rows)
    path.write_text(text.getvalue(), encoding="utf-8-sig", errors="replace", newline="")


def write_csv_files(tables: Iterable[Table], folder: Path) -> None:
    """Write each table under its name."""
    for table in tables:
        write_csv(table, folder / f"{table.name}.csv")


def inert(value: Value) -> Value:
    """Give a value as it can stand in a cell without ever being run.

    Args:
        value: any value of a table.

    Returns:
        The same, but a text that starts like a formula with an apostrophe in front.
    """
    if isinstance(value, str) and value.startswith(_LIVE):
        return f"'{value}"
    return value
