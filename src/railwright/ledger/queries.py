"""What reports ask a ledger: small questions with an index each, answered row by row.

Everything else can be asked in SQL: the tables and their views are described in ``railwright.ledger.schema``.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator


def entries(connection: sqlite3.Connection, most: int = -1) -> Iterator[sqlite3.Row]:
    """Go through what was entered, the newest first: id, kind, at, machine, folder, out, shop_book; below 0 all."""
    return iter(connection.execute("SELECT * FROM entry WHERE state = 'done' ORDER BY id DESC LIMIT ?", (most,)))


def orders_of_instruments(connection: sqlite3.Connection, most: int = -1) -> Iterator[sqlite3.Row]:
    """Go through the instruments, the newest first: how each stands and whether its parts are ordered.

    Args:
        connection: the ledger.
        most: at most so many; below 0 all.

    Returns:
        Rows of instrument_id, order_no, file, site, state, ordered (the moment, or NULL), run, cancelled (0 or 1).
    """
    return iter(
        connection.execute(
            """
            SELECT s.instrument_id, s.order_no, s.file, s.site,
              (SELECT d.state FROM decision d WHERE d.survey_id = s.id ORDER BY d.id DESC LIMIT 1) AS state,
              e.at AS ordered, k.entry_id AS run,
              EXISTS (SELECT 1 FROM cancelled_instrument c WHERE c.instrument_id = s.instrument_id) AS cancelled
            FROM (SELECT * FROM survey WHERE superseded_by IS NULL ORDER BY id DESC LIMIT ?) s
            LEFT JOIN current_kit k ON k.instrument_id = s.instrument_id
            LEFT JOIN entry e ON e.id = k.entry_id
            ORDER BY s.id DESC
            """,
            (most,),
        )
    )


def open_questions(connection: sqlite3.Connection) -> Iterator[sqlite3.Row]:
    """Go through the findings of severity fix or confirm that still stand, by technician and then the oldest first.

    Args:
        connection: the ledger.

    Returns:
        Rows of technician (or words for none), order_no (or the file), site, needed_by, rule, severity, field, sheet,
        cell, message, and since (the moment when the same was first found on the instrument). Cancelled instruments
        are left out.
    """
    return iter(
        connection.execute(
            """
            SELECT coalesce(nullif(s.technician, ''), 'an unnamed technician') AS technician,
              coalesce(s.order_no, s.file) AS order_no, s.site, s.needed_by, f.rule, f.severity, f.field,
              coalesce(f.sheet, r.sheet) AS sheet, coalesce(f.cell, r.cell) AS cell, f.message,
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
    )


def order_lines(connection: sqlite3.Connection, open_only: bool = False) -> Iterator[sqlite3.Row]:
    """Go through order lines, oldest first, each with its status.

    Args:
        connection: the ledger.
        open_only: only those of which something is still to come.

    Returns:
        Rows of all columns of ``order_line``, ``at`` (when it was ordered), ``open`` (still to come), ``orders`` (the
        order numbers that it is for, after one another) and ``status``: ``ordered``, ``delivered``, ``cancelled``, or
        ``from the shelf`` where nothing was bought.
    """
    where = "WHERE l.buy > l.delivered + l.cancelled" if open_only else ""
    return iter(
        connection.execute(
            f"""
            SELECT l.*, e.at, l.buy - l.delivered - l.cancelled AS open,
              CASE WHEN l.buy = 0 THEN 'from the shelf' WHEN l.buy > l.delivered + l.cancelled THEN 'ordered'
                WHEN l.cancelled = l.buy THEN 'cancelled' ELSE 'delivered' END AS status,
              (SELECT group_concat(order_no, ', ') FROM (SELECT n.order_no FROM order_need n
                WHERE n.order_line_id = l.id ORDER BY n.order_no)) AS orders
            FROM order_line l JOIN entry e ON e.id = l.entry_id AND e.state = 'done' {where} ORDER BY l.id
            """
        )
    )


def shelf(connection: sqlite3.Connection) -> Iterator[sqlite3.Row]:
    """Go through the shelf by item: stock_id, item, length, width, unit, offcut, rack, on_hand, promised, on_way.

    What is promised is planned already and comes out of what is on the way; so much is free: on_hand + on_way -
    promised.
    """
    return iter(connection.execute("SELECT * FROM shelf ORDER BY item, offcut, length, width, rack"))
