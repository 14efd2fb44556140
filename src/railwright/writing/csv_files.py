"""Tables as comma-separated text that office programs open rightly and cannot be made to run."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from pathlib import Path

from railwright.reporting.tables import Column, Table, Value

#: What office programs take for the start of a formula, or strip off before they look for one.
_LIVE = ("=", "+", "-", "@", "\t", "\r", "\n")


def write_csv(columns: Sequence[Column], rows: Iterable[tuple[Value, ...]], path: Path) -> int:
    """Write a table as UTF-8 with a mark at its start, which office programs need to read accents rightly.

    Texts that an office program would take for a formula get an apostrophe in front; numbers are written plainly,
    with a point for the decimals.

    Args:
        columns: left to right; the heading row has their keys.
        rows: taken one by one, each with a value a column.
        path: the file to write; its folder is made.

    Returns:
        The number of rows.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    count = 0
    with path.open("w", encoding="utf-8-sig", errors="replace", newline="") as file:
        writer = csv.writer(file, lineterminator="\r\n")
        writer.writerow([column.key for column in columns])
        for row in rows:
            writer.writerow([inert(value) for value in row])
            count += 1
    return count


def write_csv_files(tables: Iterable[Table], folder: Path) -> None:
    """Write each table under its name."""
    for table in tables:
        write_csv(table.columns, table.rows, folder / f"{table.name}.csv")


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
