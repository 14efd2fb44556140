"""What came in, run by run."""

from __future__ import annotations

import sqlite3
from datetime import date

from railwright.reporting.tables import Column, Table, day_of, table

_COLUMNS = (
    Column("day", "Processed", "day"),
    Column("shop_book", "Shop book"),
    Column("first", "New instruments", "count", help="surveys of instruments that the ledger did not know"),
    Column("corrected", "Corrected surveys", "count", help="surveys that took the place of an older one"),
    Column("released", "Released", "count", help="of these, how many could go to the shop"),
    Column("to_confirm", "To confirm", "count"),
    Column("on_hold", "On hold", "count"),
)


def weeks(connection: sqlite3.Connection, on: date) -> Table:
    """Tell of each run how many surveys it brought and what state they came out in.

    Args:
        connection: the ledger.
        on: the day of the report; not used, as runs are history.

    Returns:
        One row a run that brought a survey, oldest first.
    """
    rows = connection.execute(
        """
        WITH came AS (
          SELECT s.id, s.entry_id,
            EXISTS (SELECT 1 FROM survey o WHERE o.instrument_id = s.instrument_id AND o.id < s.id) AS later,
            (SELECT d.state FROM decision d WHERE d.survey_id = s.id ORDER BY d.id LIMIT 1) AS state
          FROM survey s
        )
        SELECT e.at, e.shop_book, sum(NOT later) AS first, sum(later) AS corrected,
          sum(c.state = 'release') AS released, sum(c.state = 'confirm') AS to_confirm, sum(c.state = 'hold') AS on_hold
        FROM came c JOIN entry e ON e.id = c.entry_id AND e.state = 'done' GROUP BY e.id ORDER BY e.id
        """
    )
    return table(
        "weeks",
        "What came in",
        "One line a run that brought something new. A survey processed again without a change is not counted again.",
        _COLUMNS,
        ((day_of(row["at"]), *tuple(row)[1:]) for row in rows),
    )
