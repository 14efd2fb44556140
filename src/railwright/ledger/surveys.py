"""Compare a survey with what the ledger knows of its instrument, and add it where it is new."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from railwright.checking.base import catalogue
from railwright.checking.words import about
from railwright.ledger.identity import (
    find_instrument,
    fingerprint,
    is_cancelled,
    is_other_piano,
    keys_of,
    sharing_order,
    sharing_piano,
    told_by,
)
from railwright.ledger.readings import Reading, keep_readings, kept_readings, readings_of
from railwright.ledger.standing import Change, Standing
from railwright.survey.fields import all_fields
from railwright.survey.findings import Finding
from railwright.survey.records import Survey


def compare_and_keep(connection: sqlite3.Connection, entry_id: int, survey: Survey) -> Standing:
    """Look a survey up, and record its readings unless they are recorded already.

    Args:
        connection: the ledger, in a transaction.
        entry_id: the run.
        survey: as read, with all its answers.

    Returns:
        Where it stands.
    """
    mark = fingerprint(survey)
    instrument = find_instrument(connection, survey, mark)
    if instrument is None:
        instrument = _insert(connection, "INSERT INTO instrument (entry_id) VALUES (?)", entry_id)
        kept = _keep(connection, entry_id, instrument, survey, mark)
        return Standing("new", instrument, kept)
    known = connection.execute(
        "SELECT s.*, e.at FROM survey s JOIN entry e ON e.id = s.entry_id WHERE instrument_id = ? AND fingerprint = ?",
        (instrument, mark),
    ).fetchone()
    if known is None:
        return _superseding(connection, entry_id, instrument, survey, mark)
    if known["entry_id"] == entry_id:
        return Standing("twin", instrument, known["id"], earlier_file=known["file"])
    if known["superseded_by"] is not None:
        return _outdated(connection, instrument, known["id"])
    standing = Standing("unchanged", instrument, known["id"], recorded=known["at"][:10])
    return _with_order(connection, standing)


def _current(connection: sqlite3.Connection, instrument: int) -> sqlite3.Row:
    row: sqlite3.Row = connection.execute(
        "SELECT s.*, e.at FROM survey s JOIN entry e ON e.id = s.entry_id "
        "WHERE instrument_id = ? AND superseded_by IS NULL",
        (instrument,),
    ).fetchone()
    return row


def overtaken(connection: sqlite3.Connection, standing: Standing) -> Standing:
    """Say that a survey is outdated if a later file of the same run superseded it; else hand on what is known."""
    if standing.news != "unchanged" or standing.instrument_id is None or standing.survey_id is None:
        return standing
    current = _current(connection, standing.instrument_id)
    if current["id"] == standing.survey_id:
        return standing
    return _outdated(connection, standing.instrument_id, standing.survey_id)


def _outdated(connection: sqlite3.Connection, instrument: int, survey_id: int) -> Standing:
    current = _current(connection, instrument)
    standing = Standing("outdated", instrument, survey_id, earlier_file=current["file"], recorded=current["at"][:10])
    return replace(standing, cancelled=is_cancelled(connection, instrument))


def _superseding(connection: sqlite3.Connection, entry_id: int, instrument: int, survey: Survey, mark: str) -> Standing:
    older = _current(connection, instrument)
    if older["entry_id"] == entry_id:
        return Standing("twin", instrument, older["id"], earlier_file=older["file"])
    changes = tuple(changes_between(kept_readings(connection, older["id"]), survey))
    kept = _keep(connection, entry_id, instrument, survey, mark)
    connection.execute("UPDATE survey SET superseded_by = ? WHERE id = ?", (kept, older["id"]))
    connection.executemany(
        "INSERT INTO change VALUES (?, ?, ?, ?, ?, ?)",
        ((kept, each.field, each.sheet, each.cell, each.old, each.new) for each in changes),
    )
    standing = Standing("superseding", instrument, kept, changes, earlier_file=older["file"], recorded=older["at"][:10])
    return _with_order(connection, standing)


def _with_order(connection: sqlite3.Connection, standing: Standing) -> Standing:
    """Add whether the instrument's parts are ordered, for these readings or for earlier ones, or cancelled."""
    kit = connection.execute(
        "SELECT k.survey_id, k.entry_id, k.complete, e.at FROM current_kit k JOIN entry e ON e.id = k.entry_id "
        "WHERE k.instrument_id = ?",
        (standing.instrument_id,),
    ).fetchone()
    standing = replace(standing, cancelled=is_cancelled(connection, standing.instrument_id or 0))
    if kit is None:
        return standing
    if kit["survey_id"] != standing.survey_id or not kit["complete"]:
        return replace(standing, changed_kit=True)
    return replace(standing, ordered=kit["at"][:10], ordered_run=kit["entry_id"])


def changes_between(old: Mapping[str, Reading], survey: Survey) -> Iterator[Change]:
    """Go through the cells that say something else than before, in the order in which a survey is filled in.

    Args:
        old: the readings of the older survey by field.
        survey: the newer one.

    Yields:
        A change a field; sheet and cell are the newer workbook's where it has them.
    """
    new = {reading.field: reading for reading in readings_of(survey)}
    for field in all_fields():
        before, after = old.get(field.key), new.get(field.key)
        if (before and told_by(before)) == (after and told_by(after)):
            continue
        place = survey.answers.get(field.key) or before
        assert place is not None
        texts = (before.text if before else "", after.text if after else "")
        yield Change(field.key, place.sheet, place.cell, *texts)


def _keep(connection: sqlite3.Connection, entry_id: int, instrument: int, survey: Survey, mark: str) -> int:
    keys = keys_of(survey)
    values = {
        "instrument_id": instrument,
        "entry_id": entry_id,
        "fingerprint": mark,
        "file": survey.file,
        "order_no": survey.order_no,
        "site": survey.site,
        "technician": survey.technician,
        "survey_date": survey.survey_date.isoformat() if survey.survey_date else None,
        "needed_by": survey.needed_by.isoformat() if survey.needed_by else None,
        "maker": survey.maker,
        "model": survey.model,
        "serial": survey.serial,
        "unit": survey.unit,
        "step_mm": survey.step_mm,
        "sections": len(survey.sections),
        "remarks": survey.remarks,
        "order_key": keys.order,
        "piano_key": keys.piano,
        "model_key": keys.model,
    }
    marks = ", ".join("?" for _ in values)
    kept = _insert(connection, f"INSERT INTO survey ({', '.join(values)}) VALUES ({marks})", *values.values())
    keep_readings(connection, kept, survey)
    return kept


def _insert(connection: sqlite3.Connection, statement: str, *values: object) -> int:
    return int(connection.execute(statement, values).lastrowid or 0)


def found_in_ledger(
    connection: sqlite3.Connection, standing: Standing, survey: Survey, findings: Sequence[Finding]
) -> tuple[Finding, ...]:
    """Check a survey against earlier weeks as one folder is checked in itself: numbers that another one has.

    Args:
        connection: the ledger.
        standing: where the survey stands.
        survey: as read.
        findings: what was found already; the same rule at the same place is not told twice.

    Returns:
        Further findings.
    """
    told = {(each.rule, each.field) for each in findings}
    found = (*_order_taken(connection, standing, survey), *_piano_known(connection, standing, survey))
    return tuple(each for each in found if (each.rule, each.field) not in told)


def _order_taken(connection: sqlite3.Connection, standing: Standing, survey: Survey) -> Iterator[Finding]:
    for row in sharing_order(connection, survey, standing.instrument_id or 0, bool(standing.ordered)):
        if is_other_piano(row, survey):
            words = (
                f"expected a number of its own, found {survey.order_no}, which the ledger has for another piano "
                f"({row['maker']} {row['model']}, serial number {row['serial']}, file {row['file']}). Correct it."
            )
            yield _finding("duplicate_order_number", "order_no", words, survey)
            return


def _piano_known(connection: sqlite3.Connection, standing: Standing, survey: Survey) -> Iterator[Finding]:
    for row in sharing_piano(connection, survey, standing.instrument_id or 0, bool(standing.ordered)):
        words = (
            f"expected a number of its own, found {survey.serial}, which the ledger has under order "
            f"{row['order_no'] or 'without a number'} too (file {row['file']}). Compare with the piano or its photo; "
            "if the order number was corrected, cancel the other order in the ledger."
        )
        yield _finding("duplicate_serial", "serial", words, survey)
        return


def _finding(rule: str, key: str, words: str, survey: Survey) -> Finding:
    answer = survey.answers.get(key)
    severity = catalogue()[rule].rule.severity
    return Finding(
        rule, severity, about(key, words), key, answer.sheet if answer else None, answer.cell if answer else None
    )
