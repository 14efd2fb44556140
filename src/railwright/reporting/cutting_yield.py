"""What became of the bars and sheets that were cut, and what rests stand on the shelf."""

from __future__ import annotations

import sqlite3
from datetime import date

from railwright.reporting.tables import Column, Table, Value, day_of, days_between, table

#: Whole tenths of a millimetre in a metre, and their squares in a square metre.
_METRE, _SQUARE_METRE = 10_000, 100_000_000

_SUMS = """
  SELECT substr(e.at, 1, 7) AS month, b.item, b.kind, count(*) AS bars, sum(b.offcut) AS offcuts,
    sum(CASE b.kind WHEN 'felt' THEN b.length * b.width ELSE b.length END) AS taken,
    sum((SELECT coalesce(sum(CASE b.kind WHEN 'felt' THEN p.length * p.width ELSE p.length END), 0)
      FROM piece p WHERE p.bar_id = b.id)) AS pieces,
    sum((SELECT coalesce(sum(CASE b.kind WHEN 'felt' THEN r.length * r.width ELSE r.length END), 0)
      FROM remnant r WHERE r.bar_id = b.id AND r.rack IS NOT NULL)) AS kept
  FROM bar b JOIN entry e ON e.id = b.entry_id AND e.state = 'done' GROUP BY 1, 2, 3 ORDER BY 1, 3, 2
"""


def cutting_yield(connection: sqlite3.Connection, on: date) -> Table:
    """Tell by month and material how much of what was cut became pieces, rests on the shelf, and waste.

    Args:
        connection: the ledger.
        on: the day of the report; not used.

    Returns:
        One row a month and item. The yield is pieces over what was taken less what was kept.
    """
    return table(
        "cutting_yield",
        "Yield of the cutting",
        "By the month of the plan. Waste is what saw, trim and rests too short to keep took. The yield leaves out "
        "rests that were kept, since they are used later.",
        (
            Column("month", "Month"),
            Column("item", "Item"),
            Column("unit", "Unit", help="m of bar, or m² of sheet"),
            Column("bars", "Bars or sheets", "count"),
            Column("offcuts", "Of these offcuts", "count"),
            Column("taken", "Taken", "number"),
            Column("pieces", "Pieces", "number"),
            Column("kept", "Kept as rests", "number"),
            Column("waste", "Waste", "number"),
            Column("share", "Yield", "share", help="pieces as a share of what was taken and not kept"),
        ),
        (_yield_row(row) for row in connection.execute(_SUMS)),
    )


def _yield_row(row: sqlite3.Row) -> tuple[Value, ...]:
    unit, tenths = ("m²", _SQUARE_METRE) if row["kind"] == "felt" else ("m", _METRE)
    taken, pieces, kept = (row[key] / tenths for key in ("taken", "pieces", "kept"))
    used = taken - kept
    share = round(pieces / used, 6) if used > 0 else None
    counts = (row["month"], row["item"], unit, row["bars"], row["offcuts"])
    return (*counts, taken, pieces, kept, round(used - pieces, 8), share)


def rests_on_shelf(connection: sqlite3.Connection, on: date) -> Table:
    """List the offcuts on the shelf, and since when they lie there.

    Args:
        connection: the ledger.
        on: the day to reckon ages for.

    Returns:
        One row an offcut, by item, the longest first.
    """
    rows = connection.execute(
        """
        SELECT h.item, h.length, h.width, h.rack, h.on_hand,
          (SELECT max(e.at) FROM movement m JOIN entry e ON e.id = m.entry_id
            WHERE m.stock_id = h.stock_id AND m.change > 0) AS since
        FROM shelf h WHERE h.offcut AND h.on_hand > 0 ORDER BY h.item, h.length DESC, h.width DESC, h.rack
        """
    )
    return table(
        "rests_on_shelf",
        "Rests on the shelf",
        "The next cutting plan uses them before anything is bought.",
        (
            Column("item", "Item"),
            Column("length_mm", "Length", "number", "mm"),
            Column("width_mm", "Width", "number", "mm", "of felt; empty for bars"),
            Column("rack", "Rack", help="or the label of the piece that came back from a cancelled or changed order"),
            Column("on_hand", "On hand", "count"),
            Column("since", "Since", "day"),
            Column("age", "Days", "count"),
        ),
        (
            (
                row["item"],
                row["length"] / 10,
                row["width"] / 10 if row["width"] else None,
                row["rack"],
                row["on_hand"],
                day_of(row["since"]),
                days_between(day_of(row["since"]), on),
            )
            for row in rows
        ),
    )
