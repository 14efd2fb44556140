"""When two surveys are of one instrument, and when they are one and the same survey.

An instrument goes by its order number. Where that is missing it goes by maker, model and serial number, and where that
is missing too by its file. Spelling never tells two apart: capitals and blanks do not count.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass

from railwright.checking.groups import plain
from railwright.ledger.readings import Reading, readings_of
from railwright.survey.kind import kind_of
from railwright.survey.records import Survey


@dataclass(frozen=True, slots=True)
class Keys:
    """What a survey is found by: order number, piano and model, each reduced to what compares; ``None`` where blank."""

    order: str | None
    piano: str | None
    model: str | None


def keys_of(survey: Survey) -> Keys:
    """Give the keys of a survey; that of the piano needs a serial number, that of the model a model."""
    serial = plain(survey.serial)
    piano = f"{plain(survey.maker)}|{plain(survey.model)}|{serial}" if serial else None
    return Keys(plain(survey.order_no) or None, piano, model_key(survey.maker, survey.model))


def model_key(maker: str | None, model: str | None) -> str | None:
    """Give what surveys of one maker and model share; ``None`` without a model."""
    return kind_of(maker, model)


def fingerprint(survey: Survey) -> str:
    """Give what two files share that hold the same readings: where cells stand and how files are named do not count."""
    told = sorted(told_by(reading) for reading in readings_of(survey))
    return hashlib.sha256(json.dumps(told, ensure_ascii=True).encode()).hexdigest()


def told_by(reading: Reading) -> list[str]:
    """Give what a reading says, however it is written: two readings that say the same are no change."""
    number = "" if reading.number is None else f"{reading.number:.6f}"
    step = "" if reading.step_mm is None else f"{reading.step_mm:.6f}"
    unread = reading.text if reading.problem else ""
    return [reading.field, number, reading.words or "", step, reading.problem or "", unread]


def find_instrument(connection: sqlite3.Connection, survey: Survey, mark: str) -> int | None:
    """Find the instrument of a survey in the ledger.

    Args:
        connection: the ledger.
        survey: as read.
        mark: its fingerprint; the same readings are the same instrument, even if it has other ones by now.

    Returns:
        The instrument's number; ``None`` for one that was never seen.
    """
    keys = keys_of(survey)
    same = _first(
        connection,
        "fingerprint = ? AND (order_key IS NOT NULL OR piano_key IS NOT NULL OR file = ?)",
        (mark, survey.file),
    )
    if same is not None:
        return same
    if keys.order:
        for row in _current(connection, "order_key", keys.order):
            if not is_other_piano(row, survey):
                return int(row["instrument_id"])
    for row in _current(connection, "piano_key", keys.piano) if keys.piano else ():
        if keys.order is None or row["order_key"] is None or _is_disputed(connection, row):
            return int(row["instrument_id"])
    nameless = "superseded_by IS NULL AND file = ? AND order_key IS NULL AND piano_key IS NULL"
    return _first(connection, nameless, (survey.file,))


def _first(connection: sqlite3.Connection, where: str, values: tuple[str, ...]) -> int | None:
    row = connection.execute(f"SELECT instrument_id FROM survey WHERE {where} ORDER BY id LIMIT 1", values).fetchone()
    return None if row is None else int(row[0])


def _current(connection: sqlite3.Connection, key: str, value: str) -> list[sqlite3.Row]:
    query = f"SELECT * FROM survey WHERE superseded_by IS NULL AND {key} = ? ORDER BY id"
    return connection.execute(query, (value,)).fetchall()


def is_other_piano(row: sqlite3.Row, survey: Survey) -> bool:
    """Tell whether a survey of the same order number is of another piano: no one of maker, model, serial agrees.

    A correction mends one of the three, perhaps two; an order number typed wrongly brings a piano of its own.
    """
    pairs = ((row["maker"], survey.maker), (row["model"], survey.model), (row["serial"], survey.serial))
    known = [(plain(old), plain(new)) for old, new in pairs if plain(old) and plain(new)]
    return len(known) == len(pairs) and all(old != new for old, new in known)


def _is_disputed(connection: sqlite3.Connection, row: sqlite3.Row) -> bool:
    """Tell whether the order number of a survey is that of another piano too, so that one of the two is wrong."""
    return len({each["instrument_id"] for each in _current(connection, "order_key", row["order_key"])}) > 1


def sharing_order(connection: sqlite3.Connection, survey: Survey, own: int, ordered: bool) -> Iterator[sqlite3.Row]:
    """Go through current surveys of other instruments with the same order number; cancelled ones aside.

    Args:
        connection: the ledger.
        survey: the survey.
        own: its instrument.
        ordered: whether its parts are ordered; then only instruments that were there before it matter.

    Yields:
        Rows of ``survey``.
    """
    yield from _others(connection, "order_key", keys_of(survey).order, own, ordered)


def sharing_piano(connection: sqlite3.Connection, survey: Survey, own: int, ordered: bool) -> Iterator[sqlite3.Row]:
    """Go through current surveys of the same piano under other order numbers, as ``sharing_order`` does."""
    yield from _others(connection, "piano_key", keys_of(survey).piano, own, ordered)


def _others(
    connection: sqlite3.Connection, key: str, value: str | None, own: int, ordered: bool
) -> Iterator[sqlite3.Row]:
    for row in _current(connection, key, value) if value else ():
        other = row["instrument_id"]
        if other != own and (other < own or not ordered) and not is_cancelled(connection, other):
            yield row


def is_cancelled(connection: sqlite3.Connection, instrument_id: int) -> bool:
    """Tell whether the order of an instrument is cancelled now."""
    row = connection.execute(
        "SELECT resumed FROM cancellation WHERE instrument_id = ? ORDER BY id DESC LIMIT 1", (instrument_id,)
    ).fetchone()
    return row is not None and not row["resumed"]
