"""What is still asked, of whom, and for how long."""

from __future__ import annotations

import sqlite3
from datetime import date

from railwright.ledger.queries import open_questions as open_findings
from railwright.reporting.tables import Column, Table, day_of, days_between, table

_COLUMNS = (
    Column("technician", "Technician"),
    Column("order_no", "Order"),
    Column("site", "Site"),
    Column("age", "Open for", "count", "days", "days since this was first found on this instrument"),
    Column("needed_by", "Needed by", "day"),
    Column("days_left", "Days left", "count", "", "days from the day of the report to the day needed; below 0 is late"),
    Column("kind", "What", help="put right: the instrument is on hold; confirm: it waits for an answer"),
    Column("cell", "Cell", help="sheet and cell of the survey; empty where no one cell is meant"),
    Column("question", "Question"),
)
_KINDS = {"fix": "put right", "confirm": "confirm"}


def open_questions(connection: sqlite3.Connection, on: date) -> Table:
    """List what is open on the newest survey of every instrument that is not cancelled.

    Args:
        connection: the ledger.
        on: the day to reckon ages for.

    Returns:
        One row a question, by technician's name and then the oldest first.
    """
    return table(
        "open_questions",
        "Open questions",
        "By technician, the oldest first. A question keeps its age when a corrected survey still leaves it open.",
        _COLUMNS,
        (
            (
                row["technician"],
                row["order_no"],
                row["site"] or "",
                days_between(day_of(row["since"]), on),
                day_of(row["needed_by"]),
                days_between(on, day_of(row["needed_by"])),
                _KINDS[row["severity"]],
                f"{row['sheet']}!{row['cell']}" if row["cell"] else "",
                row["message"],
            )
            for row in open_findings(connection)
        ),
    )
