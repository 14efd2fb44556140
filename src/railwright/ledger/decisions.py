"""What was decided on a survey: its state, what was found, and how each section is sized."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Sequence

from railwright.computing.results import InstrumentResult, Part, SectionResult
from railwright.survey.findings import Finding, state_of

_DIGITS = 3

_SECTION_COLUMNS = (
    *("section", "register", "first_note", "last_note", "dampers", "pitch_mm", "wires", "slip", "slip_odds"),
    *("angle_deg", "side", "centre_line_mm", "carrier", "edge_mm", "length_mm", "saw_angle_deg", "saw_hand", "felt"),
    *("felt_length_mm", "felt_width_mm", "foot", "stations", "reliefs", "stack_mm", "free_mm", "guard_mm", "crank"),
    *("lift_mm", "deflection_mm", "press_min_mm", "press_max_mm", "press_force_n"),
)


def keep_decision(
    connection: sqlite3.Connection,
    entry_id: int,
    survey_id: int,
    findings: Sequence[Finding],
    result: InstrumentResult | None,
    parts: Sequence[Part],
) -> bool:
    """Record what was decided, unless it is what was decided on the same survey before.

    Args:
        connection: the ledger, in a transaction.
        entry_id: the run.
        survey_id: the survey.
        findings: all of them.
        result: how its sections are sized, with the wires.
        parts: its part list.

    Returns:
        Whether it was new.
    """
    mark = _fingerprint(findings, parts)
    last = connection.execute(
        "SELECT fingerprint FROM decision WHERE survey_id = ? ORDER BY id DESC LIMIT 1", (survey_id,)
    ).fetchone()
    if last is not None and last["fingerprint"] == mark:
        return False
    force = _number(result.lever_force_n) if result else None
    cursor = connection.execute(
        "INSERT INTO decision (survey_id, entry_id, fingerprint, state, lever_force_n) VALUES (?, ?, ?, ?, ?)",
        (survey_id, entry_id, mark, state_of(list(findings)), force),
    )
    decision = cursor.lastrowid
    connection.executemany(
        "INSERT INTO finding VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        (
            (decision, number, each.rule, each.severity, each.field, each.sheet, each.cell, each.message)
            for number, each in enumerate(findings, start=1)
        ),
    )
    marks = ", ".join("?" for _ in range(len(_SECTION_COLUMNS) + 1))
    connection.executemany(
        f"INSERT INTO section (decision_id, {', '.join(_SECTION_COLUMNS)}) VALUES ({marks})",
        ((decision, *_section(section)) for section in (result.sections if result else ())),
    )
    return True


def _fingerprint(findings: Sequence[Finding], parts: Sequence[Part]) -> str:
    """Tell decisions apart by what is made and what is asked; sentences name other files, so they do not count."""
    asked = [[each.rule, each.severity, each.field or ""] for each in findings]
    made = [[part.item, f"{part.quantity:.1f}", part.unit] for part in parts]
    return hashlib.sha256(json.dumps([sorted(asked), made]).encode()).hexdigest()


def _number(value: float | None) -> float | None:
    return None if value is None else round(float(value), _DIGITS)


def _section(section: SectionResult) -> tuple[object, ...]:
    carrier, felt, slip, spacing = section.carrier, section.felt, section.slip, section.spacing
    stations = [[one.gap, _number(one.x_mm), _number(one.shim_mm)] for one in section.stations]
    reliefs = [[one.kind, _number(one.x_mm), _number(one.width_mm), _number(one.depth_mm)] for one in section.reliefs]
    return (
        section.section,
        section.register,
        section.first_note,
        section.last_note,
        section.dampers,
        _number(spacing.pitch_mm) if spacing else None,
        _json(_wires(section)),
        slip.name if slip else None,
        float(f"{slip.odds:.4g}") if slip else None,
        _number(section.theta_deg),
        section.side,
        _number(section.offset_mm),
        *(
            (carrier.item, *map(_number, (carrier.edge_mm, carrier.length_mm, carrier.saw_angle_deg)), carrier.saw_hand)
            if carrier
            else (None,) * 5
        ),
        *((felt.item, _number(felt.length_mm), _number(felt.width_mm)) if felt else (None,) * 3),
        section.foot,
        _json(stations),
        _json(reliefs),
        _number(section.stack_mm),
        _number(section.free_mm),
        _number(section.guard_mm),
        section.crank,
        _number(section.lift_mm),
        _number(section.deflection_mm),
        _number(section.press_min_mm),
        _number(section.press_max_mm),
        _number(section.press_force_n),
    )


def _wires(section: SectionResult) -> list[list[float | None]]:
    if section.spacing is None:
        return []
    first = section.first_note
    pairs = zip(section.spacing.x_mm, section.spacing.u95_mm, strict=True)
    return [
        [None if first is None else first + index, _number(x), _number(u95)] for index, (x, u95) in enumerate(pairs)
    ]


def _json(rows: Sequence[Sequence[object]]) -> str:
    return json.dumps(rows, separators=(",", ":"))
