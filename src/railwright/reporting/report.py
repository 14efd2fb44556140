"""The tables of a report, in the order in which people read them."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from datetime import date

from railwright.reporting.cutting_yield import cutting_yield, rests_on_shelf
from railwright.reporting.lead_times import lead_times, lead_times_by_month
from railwright.reporting.on_the_way import on_the_way
from railwright.reporting.open_questions import open_questions
from railwright.reporting.slips_found import slips_by_kind, slips_by_reading, slips_by_technician
from railwright.reporting.tables import Table
from railwright.reporting.weeks import weeks

Report = Callable[[sqlite3.Connection, date], Table]

#: What is open first, then what it takes, then what can be learnt.
REPORTS: tuple[Report, ...] = (
    open_questions,
    on_the_way,
    lead_times,
    lead_times_by_month,
    weeks,
    cutting_yield,
    rests_on_shelf,
    slips_by_kind,
    slips_by_reading,
    slips_by_technician,
)


def report(connection: sqlite3.Connection, on: date) -> tuple[Table, ...]:
    """Ask a ledger for everything that a report shows.

    Args:
        connection: the ledger, opened to read.
        on: the day of the report, from which ages are reckoned.

    Returns:
        The tables in order.
    """
    return tuple(ask(connection, on) for ask in REPORTS)
