"""A report as one page that opens from disk."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path

from railwright.reporting.tables import Column, Table, Value
from railwright.writing.numbers import fixed, money, plain
from railwright.writing.templates import render_page, write_text

#: Characters: codes and names up to the first are never broken; texts beyond the second are sentences.
_CODE, _SENTENCE = 14, 48


def write_report_page(tables: Sequence[Table], ledger: str, on: date, path: Path) -> None:
    """Write a report as a page.

    Args:
        tables: in their order.
        ledger: name of the ledger's file.
        on: the day of the report.
        path: the page to write.
    """
    shown = [(table, _looks(table), [_shown(row, table) for row in table.rows]) for table in tables]
    write_text(path, render_page("report.html", {"tables": shown, "ledger": ledger, "on": on.isoformat()}))


def _shown(row: tuple[Value, ...], table: Table) -> list[str]:
    return [shown_value(value, column) for value, column in zip(row, table.columns, strict=True)]


def _looks(table: Table) -> list[str]:
    """Name the look of each column: figures to the right, codes never broken, sentences with room."""
    return [_look(column, [row[number] for row in table.rows]) for number, column in enumerate(table.columns)]


def _look(column: Column, values: Sequence[Value]) -> str:
    if column.kind != "words":
        return "n"
    longest = max((len(value) for value in values if isinstance(value, str)), default=0)
    return "k" if longest <= _CODE else "short" if longest <= _SENTENCE else "long"


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
