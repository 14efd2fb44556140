"""How often which slip was found on first visits: by kind, by reading, and by technician as a help to training."""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterator
from datetime import date

from railwright.reporting.shares import share_range
from railwright.reporting.tables import Column, Table, Value, table
from railwright.reporting.visits import readings_taken, slips, visits_by_technician

_RATE = (
    Column("share", "Share", "share", help="found, as a share of all"),
    Column("share_from", "At least", "share", help="lower end of the 95 % range of the true share (Wilson)"),
    Column("share_to", "At most", "share", help="upper end of the 95 % range of the true share (Wilson)"),
)
_CORRECTED = Column(
    "corrected", "Corrected since", "count", help="of those found, how many readings are other ones now"
)


def slips_by_kind(connection: sqlite3.Connection, on: date) -> Table:
    """Count first surveys on which each kind of slip was found.

    Args:
        connection: the ledger.
        on: the day of the report; not used.

    Returns:
        One row a kind, the most frequent first.
    """
    visits = sum(visits_by_technician(connection).values())
    told = list(slips(connection))
    found = Counter(kind for _, kind in {(slip.survey_id, slip.kind) for slip in told})
    corrected = Counter(kind for _, kind in {(slip.survey_id, slip.kind) for slip in told if slip.corrected})
    return table(
        "slips_by_kind",
        "Slips by kind",
        f"On the first surveys of {visits} instruments, each counted once a kind. Ranges show how sure a share is.",
        (
            Column("kind", "Kind of slip"),
            Column("found", "Found on", "count", "surveys"),
            Column("of", "Of all", "count", "surveys"),
            *_RATE,
            _CORRECTED,
        ),
        ((kind, *_rate(number, visits), corrected[kind]) for kind, number in _often(found)),
    )


def slips_by_reading(connection: sqlite3.Connection, on: date) -> Table:
    """Count how often each reading had to be looked at again, among how often it was taken.

    Args:
        connection: the ledger.
        on: the day of the report; not used.

    Returns:
        One row a reading, the most frequent first. A reading that is missing was not taken, so it counts on both sides.
    """
    taken, told = readings_taken(connection), list(slips(connection))
    found = Counter(slip.reading for slip in told)
    corrected = Counter(slip.reading for slip in told if slip.corrected)
    of = {reading: max(taken.get(reading, 0), number) for reading, number in found.items()}
    return table(
        "slips_by_reading",
        "Slips by reading",
        "Which readings had to be looked at again on first surveys, among all that were taken.",
        (
            Column("reading", "Reading"),
            Column("found", "Looked at again", "count", help="how often a finding asked for it"),
            Column("of", "Of all taken", "count", help="how often it was filled in"),
            *_RATE,
            _CORRECTED,
        ),
        ((reading, *_rate(number, of[reading]), corrected[reading]) for reading, number in _often(found)),
    )


def slips_by_technician(connection: sqlite3.Connection, on: date) -> Table:
    """Tell each technician's kinds of slip, as a help to training: in order of names, never ranked.

    Args:
        connection: the ledger.
        on: the day of the report; not used.

    Returns:
        One row a technician and kind, by name and then the most frequent first.
    """
    visits = visits_by_technician(connection)
    pairs = {(slip.survey_id, slip.technician, slip.kind) for slip in slips(connection)}
    found = Counter((technician, kind) for _, technician, kind in pairs)
    rows = (
        (technician, kind, *_rate(number, visits[technician]))
        for technician in visits
        for kind, number in _often(Counter({kind: n for (who, kind), n in found.items() if who == technician}))
    )
    return table(
        "slips_by_technician",
        "What to practise",
        "For each technician, what to look at together at the next training. Pianos differ and ranges are wide: this "
        "compares nobody with anybody.",
        (
            Column("technician", "Technician"),
            Column("kind", "Kind of slip"),
            Column("found", "Found on", "count", "surveys"),
            Column("of", "Of own", "count", "surveys"),
            *_RATE,
        ),
        rows,
    )


def _often(found: Counter[str]) -> Iterator[tuple[str, int]]:
    return iter(sorted(found.items(), key=lambda pair: (-pair[1], pair[0])))


def _rate(found: int, of: int) -> tuple[Value, ...]:
    return found, of, found / of, *share_range(found, of)
