"""What was ordered and has not come."""

from __future__ import annotations

import sqlite3
from datetime import date
from decimal import Decimal

from railwright.ledger.queries import order_lines
from railwright.reporting.tables import Column, Table, day_of, days_between, table

_COLUMNS = (
    Column("item", "Item"),
    Column("name", "Name"),
    Column("supplier", "Supplier"),
    Column("run", "Run", "count", help="number that railwright ledger delivered asks for"),
    Column("ordered", "Ordered", "day"),
    Column("open", "Still to come", "count"),
    Column("buy", "Of ordered", "count", help="how much was ordered in that run, in the unit beside it"),
    Column("unit", "Unit"),
    Column("cost", "Cost of the line", "money"),
    Column("needed_by", "Needed by", "day"),
    Column("days_left", "Days left", "count", "", "days from the day of the report to the day needed; below 0 is late"),
    Column("orders", "For orders"),
)


def on_the_way(connection: sqlite3.Connection, on: date) -> Table:
    """List order lines of which something is still to come.

    Args:
        connection: the ledger.
        on: the day to reckon what is late for.

    Returns:
        One row a line, by the day needed.
    """
    rows = sorted(order_lines(connection, open_only=True), key=lambda row: (row["needed_by"] or "9999", row["id"]))
    return table(
        "on_the_way",
        "On the way",
        "Ordered and neither delivered nor cancelled. The next run counts it as there and does not buy it again.",
        _COLUMNS,
        (
            (
                row["buy_item"],
                row["name"],
                row["supplier"],
                row["entry_id"],
                day_of(row["at"]),
                row["open"],
                row["buy"],
                row["unit"],
                None if row["cost"] is None else Decimal(row["cost"]),
                day_of(row["needed_by"]),
                days_between(on, day_of(row["needed_by"])),
                row["orders"] or "",
            )
            for row in rows
        ),
    )
