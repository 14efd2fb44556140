"""What was read: every filled cell of a survey as one row."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import astuple, dataclass
from datetime import date

from railwright.survey.records import Answer, Survey

#: The unit of a reading by the kind of its field; text, dates and choices have none.
_UNITS = {"length": "mm", "angle": "deg", "count": "count", "yes_no": "yes_no"}


@dataclass(frozen=True, slots=True)
class Reading:
    """One filled cell. ``number`` holds what counts or measures, in ``unit``; ``words`` everything else.

    ``text`` is the cell as a person sees it, ``problem`` the rule that says why it could not be read.
    """

    field: str
    sheet: str
    cell: str
    text: str
    number: float | None
    words: str | None
    unit: str
    step_mm: float | None
    problem: str | None


def readings_of(survey: Survey) -> Iterator[Reading]:
    """Go through the filled cells of a survey; blank ones leave no row."""
    for key, answer in survey.answers.items():
        if answer.value is not None or answer.problem is not None:
            yield _reading(key, answer)


def _reading(key: str, answer: Answer) -> Reading:
    number, words = _stored(answer.value)
    unit = _UNITS.get(answer.field.kind, "")
    return Reading(key, answer.sheet, answer.cell, answer.text, number, words, unit, answer.step_mm, answer.problem)


def _stored(value: object | None) -> tuple[float | None, str | None]:
    if isinstance(value, bool | int | float):
        return float(value), None
    if isinstance(value, date):
        return None, value.isoformat()
    if isinstance(value, tuple):
        return None, "; ".join(map(str, value)) or "none"
    return None, None if value is None else str(value)


def keep_readings(connection: sqlite3.Connection, survey_id: int, survey: Survey) -> None:
    """Add the rows of a survey."""
    connection.executemany(
        "INSERT INTO reading VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        ((survey_id, *astuple(reading)) for reading in readings_of(survey)),
    )


def kept_readings(connection: sqlite3.Connection, survey_id: int) -> dict[str, Reading]:
    """Look up the readings of a survey by field."""
    rows = connection.execute(
        "SELECT field, sheet, cell, text, number, words, unit, step_mm, problem FROM reading WHERE survey_id = ?",
        (survey_id,),
    )
    return {row["field"]: Reading(*row) for row in rows}
