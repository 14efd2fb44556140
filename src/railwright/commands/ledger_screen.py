"""The ledger on the terminal."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from decimal import Decimal

from rich.console import Console
from rich.table import Table
from rich.text import Text

from railwright.commands.screen import console
from railwright.ledger.queries import entries, order_lines, orders_of_instruments, shelf
from railwright.writing.numbers import money

#: So many runs and orders are listed, the latest.
_LATEST = 20


def show_ledger(connection: sqlite3.Connection) -> None:
    """Print the latest entries and orders, what is on the way, and the shelf.

    Args:
        connection: a ledger.
    """
    screen = console()
    _table(
        screen,
        f"Latest entries, {_LATEST} at most",
        ("Run", "When (UTC)", "What", "Output"),
        map(_entry, entries(connection, _LATEST)),
    )
    orders = orders_of_instruments(connection, _LATEST)
    _table(screen, f"Latest orders, {_LATEST} at most", ("Order", "Site", "State", "Parts"), map(_order, orders))
    way = order_lines(connection, open_only=True)
    _table(screen, "On the way", ("Run", "Item", "To come", "Unit", "Cost of the line", "Supplier"), map(_line, way))
    there = (row for row in shelf(connection) if row["on_hand"] or row["promised"] or row["on_way"])
    _table(
        screen, "Shelf", ("Item", "Size mm", "Rack", "Free", "On the way", "Of it promised", "Unit"), map(_shelf, there)
    )


def _table(screen: Console, heading: str, columns: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    table = Table(box=None, pad_edge=False, header_style="bold")
    for column in columns:
        table.add_column(column)
    for row in rows:
        table.add_row(*(Text("" if value is None else str(value)) for value in row))
    screen.print(Text(heading, style="bold"))
    screen.print(table if table.row_count else Text("None."))
    screen.print()


def _entry(row: sqlite3.Row) -> tuple[object, ...]:
    return row["id"], row["at"][:16].replace("T", " "), row["kind"], row["out"]


def _order(row: sqlite3.Row) -> tuple[object, ...]:
    ordered = f"ordered {row['ordered'][:10]}, run {row['run']}" if row["ordered"] else "not ordered"
    return row["order_no"] or row["file"], row["site"], row["state"], "cancelled" if row["cancelled"] else ordered


def _line(row: sqlite3.Row) -> tuple[object, ...]:
    cost = None if row["cost"] is None else money(Decimal(row["cost"]))
    return row["entry_id"], row["buy_item"], row["open"], row["unit"], cost, row["supplier"]


def _shelf(row: sqlite3.Row) -> tuple[object, ...]:
    size = " x ".join(f"{length / 10:g}" for length in (row["length"], row["width"]) if length)
    return row["item"], size, row["rack"], row["on_hand"], row["on_way"], row["promised"], row["unit"]
