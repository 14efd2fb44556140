"""A report as one page that opens from disk."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path

from railwright.reporting.tables import Column, Table, Value
from railwright.writing.numbers import fixed, money, plain
from railwright.writing.templates import render_page, write_text


def write_report_page(tables: Sequence[Table], ledger: str, on: date, path: Path) -> None:
    """Write a report as a page.

    Args:
        tables: in their order.
        ledger: name of the ledger's file.
        on: the day of the report.
        path: the page to write.
    """
    shown = [
        (
            table,
            [[(column, shown_value(value, column)) for value, column in _cells(row, table)] for row in table.rows],
        )
        for table in tables
    ]
    write_text(path, render_page("report.html", {"tables": shown, "ledger": ledger, "on": on.isoformat()}))


def _cells(row: tuple[Value, ...], table: Table) -> zip[tuple[Value, Column]]:
    return zip(row, table.columns, strict=True)


def shown_value(value: Value, column: Column) -> str:
    """Spell a value as its column says; nothing for none."""
    if value is None:
        return ""
    if isinstance(value, date):
        return value.isoformat()
    if column.kind == "share" and isinstance(value, float | int):
        return f"{fixed(100 * value)} %"
    if column.kind == "money" and isinstance(value, Decimal):
        return money(value)
    return plain(value) if isinstance(value, float) else str(value)
