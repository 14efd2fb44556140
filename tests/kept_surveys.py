"""A survey back from the rows of a ledger: whatever was read is kept."""

from __future__ import annotations

import sqlite3
from datetime import date

from railwright.ledger.readings import Reading, kept_readings
from railwright.reading.survey import survey_of_answers
from railwright.survey.fields import Field, field_by_key
from railwright.survey.records import Answer, Survey


def kept_survey(connection: sqlite3.Connection, survey_id: int) -> Survey:
    """Give a survey back as it was read.

    Args:
        connection: the ledger.
        survey_id: its number there.

    Returns:
        The record that checking and computing work on; its answers are the filled ones.
    """
    row = connection.execute("SELECT file, step_mm, sections FROM survey WHERE id = ?", (survey_id,)).fetchone()
    known = field_by_key()
    readings = kept_readings(connection, survey_id)
    answers = {key: _answer(reading, known[key]) for key, reading in readings.items() if key in known}
    return survey_of_answers(row["file"], row["step_mm"], answers, row["sections"])


def _answer(reading: Reading, field: Field) -> Answer:
    return Answer(
        field=field,
        sheet=reading.sheet,
        cell=reading.cell,
        text=reading.text,
        value=_value(reading, field),
        problem=reading.problem,
        step_mm=reading.step_mm,
    )


def _value(reading: Reading, field: Field) -> object | None:
    if reading.number is not None:
        return bool(reading.number) if field.kind == "yes_no" else _counted(reading.number, field)
    if reading.words is None:
        return None
    if field.kind == "date":
        return date.fromisoformat(reading.words)
    if field.kind == "screws":
        return () if reading.words == "none" else tuple(int(part) for part in reading.words.split(";"))
    return reading.words


def _counted(number: float, field: Field) -> float | int:
    return int(number) if field.kind == "count" else number
