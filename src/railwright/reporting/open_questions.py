"""What is still asked, of whom, and for how long."""

from __future__ import annotations

import sqlite3
from datetime import date

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
    rows = connection.execute(
        """
        SELECT coalesce(nullif(s.technician, ''), 'an unnamed technician') AS technician,
          coalesce(s.order_no, s.file) AS order_no, s.site, s.needed_by,
          f.severity, coalesce(f.sheet, r.sheet) AS sheet, coalesce(f.cell, r.cell) AS cell, f.message,
          (SELECT min(e.at) FROM survey o JOIN decision p ON p.survey_id = o.id JOIN entry e ON e.id = p.entry_id
            JOIN finding g ON g.decision_id = p.id
            WHERE o.instrument_id = s.instrument_id AND g.rule = f.rule AND g.field IS f.field) AS since
        FROM current_decision d JOIN survey s ON s.id = d.survey_id
        JOIN entry n ON n.id = d.entry_id AND n.state = 'done'
        JOIN finding f ON f.decision_id = d.id AND f.severity <> 'note'
        LEFT JOIN reading r ON r.survey_id = s.id AND r.field = f.field
        WHERE s.instrument_id NOT IN (SELECT instrument_id FROM cancelled_instrument)
        ORDER BY technician, since, s.id, f.number
        """
    )
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
            for row in rows
        ),
    )
