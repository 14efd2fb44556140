"""When two surveys are of one instrument, and when they are one and the same survey.

An instrument goes by its order number. Where that is missing it goes by maker, model and serial number, and where that
is missing too by its file. Spelling never tells two apart: capitals and blanks do not count.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from dataclasses import dataclass

from railwright.checking.groups import plain
from railwright.ledger.readings import Reading, readings_of
from railwright.survey.records import Survey


@dataclass(frozen=True, slots=True)
class Keys:
    """What a survey is found by: order number, piano and model, each reduced to what compares; ``None`` where blank."""

    order: str | None
    piano: str | None
    model: str | None


def keys_of(survey: Survey) -> Keys:
    """Give the keys of a survey; those of the piano need a serial number, those of the model maker and model."""
    model = model_key(survey.maker, survey.model)
    serial = plain(survey.serial)
    piano = f"{plain(survey.maker)}|{plain(survey.model)}|{serial}" if serial else None
    return Keys(plain(survey.order_no) or None, piano, model)


def model_key(maker: str | None, model: str | None) -> str | None:
    """Give what surveys of one maker and model share; ``None`` without a model."""
    return f"{plain(maker)}|{plain(model)}" if plain(model) else None


def fingerprint(survey: Survey) -> str:
    """Give what two files share that hold the same readings: where cells stand and how files are named do not count."""
    told = sorted(_told(reading) for reading in readings_of(survey))
    return hashlib.sha256(json.dumps(told, ensure_ascii=True).encode()).hexdigest()


def _told(reading: Reading) -> list[str]:
    number = "" if reading.number is None else f"{reading.number:.6f}"
    step = "" if reading.step_mm is None else f"{reading.step_mm:.6f}"
    unread = reading.text if reading.problem else ""
    return [reading.field, number, reading.words or "", step, reading.problem or "", unread]


def find_instrument(connection: sqlite3.Connection, survey: Survey) -> int | None:
    """Find the instrument of a survey in the ledger.

    Args:
        connection: the ledger.
        survey: as read.

    Returns:
        The instrument's number; ``None`` for one that was never seen. A piano that shares nothing but its order number
        with the one in the ledger is found too: ``is_other_piano`` tells.
    """
    keys = keys_of(survey)
    for where, values in _ways(keys, survey.file):
        row = connection.execute(
            f"SELECT instrument_id FROM survey WHERE superseded_by IS NULL AND {where} ORDER BY id LIMIT 1", values
        ).fetchone()
        if row is not None:
            return int(row[0])
    return None


def _ways(keys: Keys, file: str) -> list[tuple[str, tuple[str, ...]]]:
    """List the ways to find an instrument, the surest first."""
    ways: list[tuple[str, tuple[str, ...]]] = []
    if keys.order:
        ways.append(("order_key = ?", (keys.order,)))
    if keys.piano:
        either = "" if keys.order is None else " AND order_key IS NULL"
        ways.append((f"piano_key = ?{either}", (keys.piano,)))
    ways.append(("file = ? AND order_key IS NULL AND piano_key IS NULL", (file,)))
    return ways


def is_other_piano(connection: sqlite3.Connection, instrument_id: int, survey: Survey) -> bool:
    """Tell whether an instrument found by its order number is another piano: no one of maker, model, serial agrees.

    A correction mends one of the three, perhaps two; an order number typed wrongly brings a piano of its own.
    """
    row = connection.execute(
        "SELECT maker, model, serial FROM survey WHERE instrument_id = ? AND superseded_by IS NULL", (instrument_id,)
    ).fetchone()
    pairs = zip(row, (survey.maker, survey.model, survey.serial), strict=True)
    known = [(plain(old), plain(new)) for old, new in pairs if plain(old) and plain(new)]
    return len(known) == 3 and all(old != new for old, new in known)
