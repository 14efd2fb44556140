"""The first survey of each instrument: what was found on it says how the visit went, before anybody was asked."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass

from railwright.checking.base import RuleScope, catalogue
from railwright.computing.slip_words import guess
from railwright.survey.fields import field_by_key

#: Of the rules on results only these tell of readings; the others tell what does not fit.
_OF_READINGS = frozenset({"readings_disagree", "implausible_pitch", "wires_out_of_order"})
_UNCLEAR = "unclear"
_SCOPES: frozenset[RuleScope] = frozenset({"cell", "section", "instrument", "batch"})

_FIRST = """
  WITH visit AS (
    SELECT s.instrument_id, min(s.id) AS survey_id FROM survey s JOIN entry e ON e.id = s.entry_id AND e.state = 'done'
    GROUP BY s.instrument_id
  ), judged AS (
    SELECT v.instrument_id, v.survey_id, min(d.id) AS decision_id
    FROM visit v JOIN decision d ON d.survey_id = v.survey_id GROUP BY v.survey_id
  )
"""


@dataclass(frozen=True, slots=True)
class Slip:
    """One thing to look at again on a first survey: kind and reading in words, and whether a correction followed."""

    survey_id: int
    technician: str
    kind: str
    reading: str
    corrected: bool


def slips(connection: sqlite3.Connection) -> Iterator[Slip]:
    """Go through what had to be put right or confirmed on first surveys; what cannot fit is no slip.

    Args:
        connection: the ledger.

    Yields:
        One slip a finding. It was corrected when its reading is another one in a later survey of the instrument.
    """
    rows = connection.execute(
        _FIRST
        + """
        SELECT j.survey_id, coalesce(nullif(s.technician, ''), 'an unnamed technician') AS technician, f.rule, f.field,
          coalesce((SELECT c.slip FROM section c
            WHERE c.decision_id = j.decision_id AND f.field GLOB 's' || c.section || '_*'), '') AS slip,
          EXISTS (SELECT 1 FROM survey l JOIN change g ON g.survey_id = l.id AND g.field = f.field
            WHERE l.instrument_id = j.instrument_id AND l.id > j.survey_id) AS corrected
        FROM judged j JOIN survey s ON s.id = j.survey_id
        JOIN finding f ON f.decision_id = j.decision_id AND f.severity <> 'note'
        ORDER BY j.survey_id, f.number
        """
    )
    for row in rows:
        if _is_slip(row["rule"]):
            kind = _kind(row["rule"], row["slip"])
            yield Slip(row["survey_id"], row["technician"], kind, reading_words(row["field"]), bool(row["corrected"]))


def visits_by_technician(connection: sqlite3.Connection) -> dict[str, int]:
    """Count the first surveys by technician, in order of their names."""
    rows = connection.execute(
        _FIRST
        + "SELECT coalesce(nullif(s.technician, ''), 'an unnamed technician') AS technician, count(*) AS visits "
        + "FROM judged j JOIN survey s ON s.id = j.survey_id GROUP BY 1 ORDER BY 1"
    )
    return {row["technician"]: row["visits"] for row in rows}


def readings_taken(connection: sqlite3.Connection) -> dict[str, int]:
    """Count the filled cells of first surveys by reading, in words."""
    rows = connection.execute(
        _FIRST
        + "SELECT r.field, count(*) AS taken FROM judged j JOIN reading r ON r.survey_id = j.survey_id GROUP BY 1"
    )
    taken: dict[str, int] = {}
    for row in rows:
        words = reading_words(row["field"])
        taken[words] = taken.get(words, 0) + row["taken"]
    return taken


def reading_words(key: str | None) -> str:
    """Name a reading without its section; the whole survey where none is named."""
    known = field_by_key().get(key or "")
    return known.label if known else "The survey as a whole"


def _is_slip(rule: str) -> bool:
    entry = catalogue().get(rule)
    return entry is not None and (entry.scope in _SCOPES or rule in _OF_READINGS)


def _kind(rule: str, slip: str) -> str:
    """Name a kind of slip as the catalogue's own name in words, or as the slip that explains the readings."""
    if rule == "readings_disagree" and slip not in ("", _UNCLEAR):
        return _capital(guess(slip))
    return _capital(rule.replace("_", " "))


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
