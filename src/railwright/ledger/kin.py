"""Earlier pianos of a maker and model, as model memory wants them.

A survey that is processed again is held against what was known when it first came, so that it gives the same result on
every run: what was recorded in the same entry or later does not count, and a reading that was corrected since counts
as it was then.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from railwright.ledger.connection import opened_to_read
from railwright.ledger.identity import find_instrument, fingerprint, model_key
from railwright.survey.kind import EarlierSection, EarlierSurvey
from railwright.survey.records import Survey

#: So many of the newest are looked up: a few more than are used, as one piano may have been surveyed twice.
MOST_LOOKED_UP = 16
_NEVER = 1 << 62
_FIELDS = ("register", "dampers", "span", "run", "run_end")

_VERSIONS = """
WITH RECURSIVE version (id, entry_id) AS (
  SELECT id, entry_id FROM survey
  WHERE model_key = :model AND superseded_by IS NULL AND instrument_id <> :own
    AND (:sections IS NULL OR sections = :sections)
  UNION ALL
  SELECT older.id, older.entry_id FROM version JOIN survey older ON older.superseded_by = version.id
  WHERE version.entry_id >= :before AND older.model_key = :model
    AND (:sections IS NULL OR older.sections = :sections)
)
SELECT s.id, s.order_no, s.serial, s.step_mm, s.sections
FROM version JOIN survey s ON s.id = version.id JOIN entry e ON e.id = s.entry_id AND e.state = 'done'
WHERE s.entry_id < :before ORDER BY s.id DESC LIMIT :most
"""


@dataclass(frozen=True, slots=True)
class EarlierInLedger:
    """Looks up the earlier surveys of a survey's kind in a ledger; it travels to workers, as it holds but the path."""

    ledger: Path

    def __call__(self, survey: Survey) -> tuple[EarlierSurvey, ...]:
        """Give the earlier surveys of other pianos of the kind with as many sections, the newest first.

        Args:
            survey: as read.

        Returns:
            The surveys; none without a model.

        Raises:
            LedgerTrouble: the ledger cannot be read.
        """
        with opened_to_read(self.ledger) as connection:
            mark = fingerprint(survey)
            own = find_instrument(connection, survey, mark)
            known = connection.execute(
                "SELECT entry_id FROM survey WHERE instrument_id = ? AND fingerprint = ?", (own or 0, mark)
            ).fetchone()
            before = _NEVER if known is None else int(known["entry_id"])
            return _earlier(
                connection, model_key(survey.maker, survey.model), len(survey.sections), before=before, own=own or 0
            )


def earlier_of_model(connection: sqlite3.Connection, maker: str | None, model: str | None) -> tuple[EarlierSurvey, ...]:
    """Give all that is known of a model by now, whatever number of sections, the newest first.

    Args:
        connection: the ledger.
        maker: as written; capitals and blanks do not count.
        model: as written.

    Returns:
        The surveys; none without a model.
    """
    return _earlier(connection, model_key(maker, model), None, before=_NEVER, own=0)


def _earlier(
    connection: sqlite3.Connection, model: str | None, sections: int | None, *, before: int, own: int
) -> tuple[EarlierSurvey, ...]:
    if model is None:
        return ()
    given = {"model": model, "sections": sections, "own": own, "before": before, "most": MOST_LOOKED_UP}
    rows = connection.execute(_VERSIONS, given).fetchall()
    readings = _readings(connection, rows)
    return tuple(_earlier_survey(row, readings[row["id"]]) for row in rows)


def _readings(connection: sqlite3.Connection, surveys: Sequence[sqlite3.Row]) -> dict[int, dict[str, sqlite3.Row]]:
    """Look up what model memory needs of some surveys: rows with number, words and step_mm by survey and field."""
    found: dict[int, dict[str, sqlite3.Row]] = {row["id"]: {} for row in surveys}
    most = max((row["sections"] for row in surveys), default=0)
    fields = ["head_width", *(f"s{number}_{name}" for number in range(1, most + 1) for name in _FIELDS)]
    query = (
        "SELECT survey_id, field, number, words, step_mm FROM reading "
        f"WHERE survey_id IN ({_marks(found)}) AND field IN ({_marks(fields)})"
    )
    for row in connection.execute(query, [*found, *fields]):
        found[row["survey_id"]][row["field"]] = row
    return found


def _marks(values: Collection[object]) -> str:
    return ", ".join("?" * len(values))


def _earlier_survey(survey: sqlite3.Row, readings: Mapping[str, sqlite3.Row]) -> EarlierSurvey:
    numbers = range(1, survey["sections"] + 1)
    sections = tuple(_section(f"s{number}_", readings, survey["step_mm"] or 0.0) for number in numbers)
    width, step = _length("head_width", readings, survey["step_mm"] or 0.0)
    return EarlierSurvey(survey["order_no"], survey["serial"], width, step, sections)


def _section(key: str, readings: Mapping[str, sqlite3.Row], step_mm: float) -> EarlierSection:
    span, run, run_end = (_length(f"{key}{name}", readings, step_mm) for name in ("span", "run", "run_end"))
    register, dampers = (readings.get(f"{key}{name}") for name in ("register", "dampers"))
    return EarlierSection(
        register["words"] if register else None,
        int(dampers["number"]) if dampers and dampers["number"] is not None else None,
        span_mm=span[0],
        run_mm=run[0],
        run_end_mm=run_end[0],
        span_step_mm=span[1],
        run_step_mm=run[1],
        run_end_step_mm=run_end[1],
    )


def _length(field: str, readings: Mapping[str, sqlite3.Row], step_mm: float) -> tuple[float | None, float]:
    row = readings.get(field)
    if row is None:
        return None, step_mm
    return row["number"], step_mm if row["step_mm"] is None else row["step_mm"]
