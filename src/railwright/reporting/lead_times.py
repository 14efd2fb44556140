"""From the visit to the order, against the day the kit is needed."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from datetime import date
from statistics import median

from railwright.reporting.tables import Column, Table, Value, day_of, days_between, table

_COLUMNS = (
    Column("order_no", "Order"),
    Column("site", "Site"),
    Column("surveyed", "Surveyed", "day"),
    Column("came_in", "Came in", "day", help="first processed"),
    Column("released", "Released", "day", help="first time that nothing was open"),
    Column("ordered", "Ordered", "day", help="parts planned and ordered first; after a cancellation, first since then"),
    Column("parts_there", "Parts there", "day", help="the last delivery, once nothing is on the way for this order"),
    Column("needed_by", "Needed by", "day"),
    Column("days_to_order", "Survey to order", "count", "days", "empty where the survey is dated after its order"),
    Column(
        "days_left",
        "Left for the shop",
        "count",
        "days",
        "from the order, or from the day of the report without one, to the day needed; below 0 is late",
    ),
    Column("standing", "Standing", help="ordered, late, or waits: not ordered yet"),
)


def lead_times(connection: sqlite3.Connection, on: date) -> Table:
    """Tell for each instrument that is not cancelled how long it took and what time is left.

    Args:
        connection: the ledger.
        on: the day to reckon open ones for.

    Returns:
        One row an instrument, by the day needed.
    """
    return table(
        "lead_times",
        "Lead times",
        "Days are those of the ledger's clock (UTC). Late: ordered after the day needed, or not ordered although that "
        "day is past.",
        _COLUMNS,
        _rows(connection, on),
    )


def lead_times_by_month(connection: sqlite3.Connection, on: date) -> Table:
    """Sum the same up by the month in which the survey came in.

    Args:
        connection: the ledger.
        on: the day to reckon open ones for.

    Returns:
        One row a month, oldest first.
    """
    months: dict[str, list[tuple[Value, ...]]] = {}
    for row in _rows(connection, on):
        came = row[3]
        if isinstance(came, date):
            months.setdefault(f"{came:%Y-%m}", []).append(row)
    return table(
        "lead_times_by_month",
        "Lead times by month",
        "By the month in which surveys came in. Middle: as many took longer as took less.",
        (
            Column("month", "Month"),
            Column("instruments", "Instruments", "count"),
            Column("ordered", "Ordered", "count"),
            Column("days_to_order", "Survey to order, middle", "number", "days"),
            Column("days_left", "Left for the shop, middle", "number", "days"),
            Column("late", "Late", "count"),
        ),
        (
            (
                month,
                len(rows),
                sum(row[5] is not None for row in rows),
                _middle(row[8] for row in rows),
                _middle(row[9] for row in rows),
                sum(row[10] == "late" for row in rows),
            )
            for month, rows in sorted(months.items())
        ),
    )


def _middle(values: Iterable[Value]) -> float | None:
    known = [float(value) for value in values if isinstance(value, int)]
    return median(known) if known else None


def _rows(connection: sqlite3.Connection, on: date) -> Sequence[tuple[Value, ...]]:
    parts = _parts_there(connection)
    rows = connection.execute(
        """
        SELECT coalesce(s.order_no, s.file) AS order_no, s.site, s.survey_date, s.needed_by,
          (SELECT min(e.at) FROM survey o JOIN entry e ON e.id = o.entry_id WHERE o.instrument_id = s.instrument_id)
            AS came_in,
          (SELECT min(e.at) FROM survey o JOIN decision d ON d.survey_id = o.id AND d.state = 'release'
            JOIN entry e ON e.id = d.entry_id WHERE o.instrument_id = s.instrument_id) AS released,
          (SELECT min(e.at) FROM kit k JOIN entry e ON e.id = k.entry_id WHERE k.instrument_id = s.instrument_id
            AND k.id > coalesce((SELECT max(c.kit_id) FROM cancellation c WHERE c.instrument_id = k.instrument_id), 0))
            AS ordered
        FROM survey s JOIN entry n ON n.id = s.entry_id AND n.state = 'done'
        WHERE s.superseded_by IS NULL
          AND s.instrument_id NOT IN (SELECT instrument_id FROM cancelled_instrument)
        ORDER BY s.needed_by IS NULL, s.needed_by, s.id
        """
    )
    return [_row(row, parts, on) for row in rows]


def _row(row: sqlite3.Row, parts: dict[str, date], on: date) -> tuple[Value, ...]:
    surveyed, needed = day_of(row["survey_date"]), day_of(row["needed_by"])
    came, released, ordered = day_of(row["came_in"]), day_of(row["released"]), day_of(row["ordered"])
    left = days_between(ordered or on, needed)
    return (
        row["order_no"],
        row["site"] or "",
        surveyed,
        came,
        released,
        ordered,
        parts.get(row["order_no"]) if ordered else None,
        needed,
        _days_taken(surveyed, ordered),
        left,
        _standing(ordered, left),
    )


def _days_taken(surveyed: date | None, ordered: date | None) -> int | None:
    """Count the days from survey to order; a survey dated after its order cannot be meant so."""
    days = days_between(surveyed, ordered)
    return days if days is None or days >= 0 else None


def _standing(ordered: date | None, left: int | None) -> str:
    if left is not None and left < 0:
        return "late"
    return "ordered" if ordered else "waits"


def _parts_there(connection: sqlite3.Connection) -> dict[str, date]:
    """Give the day of the last delivery for each order of which nothing is on the way."""
    rows = connection.execute(
        """
        SELECT n.order_no, max(e.at) AS at FROM order_need n JOIN order_line l ON l.id = n.order_line_id
        LEFT JOIN movement m ON m.order_line_id = l.id AND m.kind = 'delivered' LEFT JOIN entry e ON e.id = m.entry_id
        GROUP BY n.order_no HAVING max(l.buy - l.delivered - l.cancelled) = 0 AND max(e.at) IS NOT NULL
        """
    )
    return {row["order_no"]: day for row in rows if (day := day_of(row["at"]))}
