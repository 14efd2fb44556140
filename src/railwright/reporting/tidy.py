"""The ledger as tidy tables for other programs: a row a thing, a column a quantity, and a dictionary of all columns.

Columns of readings come from the declaration of the survey fields, so that a new field is exported and explained
without a change here. Their unit is the end of their name: ``span_mm``, ``angle_1_deg``.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby

from railwright.reporting.tables import Column, Kind, Value, day_of
from railwright.survey.fields import INSTRUMENT_FIELDS, SECTION_FIELDS, Field
from railwright.survey.fields import Kind as FieldKind

Rows = Callable[[sqlite3.Connection], Iterator[tuple[Value, ...]]]


@dataclass(frozen=True, slots=True)
class TidyTable:
    """One table of an export: what a row is, its columns, and how its rows are asked of a ledger, one by one."""

    name: str
    about: str
    columns: tuple[Column, ...]
    rows: Rows


_UNITS: dict[FieldKind, str] = {"length": "mm", "angle": "deg"}
_KINDS: dict[FieldKind, Kind] = {
    "length": "number",
    "angle": "number",
    "count": "count",
    "date": "day",
    "yes_no": "flag",
}


def _field_column(field: Field) -> Column:
    unit = _UNITS.get(field.kind, "")
    key = f"{field.key}_{unit}" if unit else field.key
    return Column(key, field.label, _KINDS.get(field.kind, "words"), unit, f"{field.label}. {field.help}")


def _count(key: str, help: str) -> Column:
    return Column(key, key, "count", "", help)


def _words(key: str, help: str) -> Column:
    return Column(key, key, "words", "", help)


def _day(key: str, help: str) -> Column:
    return Column(key, key, "day", "", help)


def _mm(key: str, help: str, unit: str = "mm") -> Column:
    return Column(key, key, "number", unit, help)


_SURVEY_ID = _count("survey_id", "number of the survey in the ledger; joins the tables")
_SECTION = _count("section", "number of the section, 1 at the bass")
_AT = _words("recorded_at", "moment it was recorded, UTC, ISO 8601")


def _read(row: sqlite3.Row, kind: FieldKind) -> Value:
    """Give a reading in the type of its column; one that could not be read is empty."""
    if row["number"] is None:
        return day_of(row["words"]) if kind == "date" else row["words"]
    if kind == "yes_no":
        return bool(row["number"])
    return int(row["number"]) if kind == "count" else float(row["number"])


_READINGS = "SELECT survey_id, field, number, words FROM reading ORDER BY survey_id"


def _by_survey(connection: sqlite3.Connection) -> Iterator[tuple[int, dict[str, sqlite3.Row]]]:
    """Go through surveys of finished runs with their readings by field."""
    finished = {row[0] for row in connection.execute(_FINISHED)}
    for survey, rows in groupby(connection.execute(_READINGS), key=lambda row: row["survey_id"]):
        if survey in finished:
            yield int(survey), {row["field"]: row for row in rows}


_FINISHED = "SELECT s.id FROM survey s JOIN entry e ON e.id = s.entry_id WHERE e.state = 'done'"

_SURVEYS = """
  SELECT s.id, s.instrument_id, e.at, s.superseded_by, s.file,
    (SELECT d.state FROM decision d WHERE d.survey_id = s.id ORDER BY d.id DESC LIMIT 1) AS state
  FROM survey s JOIN entry e ON e.id = s.entry_id AND e.state = 'done' ORDER BY s.id
"""


def _survey_rows(connection: sqlite3.Connection) -> Iterator[tuple[Value, ...]]:
    readings = _by_survey(connection)
    survey, filled = next(readings, (0, {}))
    for row in connection.execute(_SURVEYS):
        while survey and survey < row["id"]:
            survey, filled = next(readings, (0, {}))
        yield (*tuple(row), *_values(filled if survey == row["id"] else {}, INSTRUMENT_FIELDS, ""))


def _section_rows(connection: sqlite3.Connection) -> Iterator[tuple[Value, ...]]:
    for survey, filled in _by_survey(connection):
        for section in sorted({int(key[1]) for key in filled if _is_of_section(key)}):
            yield (survey, section, *_values(filled, SECTION_FIELDS, f"s{section}_"))


def _is_of_section(key: str) -> bool:
    return key[:1] == "s" and key[1:2].isdigit() and key[2:3] == "_"


def _values(filled: dict[str, sqlite3.Row], fields: Sequence[Field], prefix: str) -> Iterator[Value]:
    for field in fields:
        row = filled.get(f"{prefix}{field.key}")
        yield None if row is None else _read(row, field.kind)


def _plain(query: str, change: Callable[[sqlite3.Row], tuple[Value, ...]] = tuple) -> Rows:
    return lambda connection: (change(row) for row in connection.execute(query))


_RESULTS = """
  SELECT d.survey_id, d.state, c.section, c.register, c.first_note, c.last_note, c.dampers, c.pitch_mm, c.slip,
    c.slip_odds, c.angle_deg, c.side, c.centre_line_mm, c.carrier, c.edge_mm, c.length_mm, c.saw_angle_deg, c.saw_hand,
    c.felt, c.felt_length_mm, c.felt_width_mm, c.stack_mm, c.free_mm, c.guard_mm, c.crank, c.lift_mm, c.deflection_mm,
    c.press_force_n
  FROM current_decision d JOIN entry e ON e.id = d.entry_id AND e.state = 'done' JOIN section c ON c.decision_id = d.id
  ORDER BY d.survey_id, c.section
"""
_WIRES = """
  SELECT d.survey_id, c.section, c.wires FROM current_decision d
  JOIN entry e ON e.id = d.entry_id AND e.state = 'done' JOIN section c ON c.decision_id = d.id
  ORDER BY d.survey_id, c.section
"""
_FINDINGS = """
  SELECT d.survey_id, f.number, f.rule, f.severity, f.field,
    coalesce(f.sheet, r.sheet) AS sheet, coalesce(f.cell, r.cell) AS cell, f.message
  FROM current_decision d JOIN entry e ON e.id = d.entry_id AND e.state = 'done' JOIN finding f ON f.decision_id = d.id
  LEFT JOIN reading r ON r.survey_id = d.survey_id AND r.field = f.field
  ORDER BY d.survey_id, f.number
"""
_CHANGES = """
  SELECT c.survey_id, c.field, c.sheet, c.cell, c.old, c.new FROM change c JOIN survey s ON s.id = c.survey_id
  JOIN entry e ON e.id = s.entry_id AND e.state = 'done' ORDER BY c.survey_id, c.field
"""
_ORDER_LINES = """
  SELECT l.id, e.at, l.item, l.buy_item, l.name, l.unit, l.need, l.on_hand, l.on_way, l.buy, l.pack, l.packs, l.cost,
    e.currency, l.supplier, l.needed_by, l.delivered, l.cancelled
  FROM order_line l JOIN entry e ON e.id = l.entry_id AND e.state = 'done' ORDER BY l.id
"""
_ORDER_NEEDS = """
  SELECT n.order_line_id, n.order_no, n.needed_by FROM order_need n JOIN order_line l ON l.id = n.order_line_id
  JOIN entry e ON e.id = l.entry_id AND e.state = 'done' ORDER BY n.order_line_id, n.order_no
"""


def _wire_rows(connection: sqlite3.Connection) -> Iterator[tuple[Value, ...]]:
    for row in connection.execute(_WIRES):
        for number, (note, x_mm, u95_mm) in enumerate(json.loads(row["wires"]), start=1):
            yield row["survey_id"], row["section"], number, note, x_mm, u95_mm


def _order_row(row: sqlite3.Row) -> tuple[Value, ...]:
    money = None if row["cost"] is None else Decimal(row["cost"])
    values = {**dict(row), "need": Decimal(row["need"]), "cost": money, "needed_by": day_of(row["needed_by"])}
    return tuple(values.values())


TABLES: tuple[TidyTable, ...] = (
    TidyTable(
        "surveys",
        "a survey as it was processed, with what was read of the instrument; a corrected one is a further row",
        (
            _SURVEY_ID,
            _count("instrument_id", "number of the instrument; its corrected surveys share it"),
            _AT,
            _count("superseded_by", "survey_id of the corrected one; empty for the survey that counts"),
            _words("file", "path below the folder that was processed"),
            _words("state", "release, confirm or hold, as last decided"),
            *map(_field_column, INSTRUMENT_FIELDS),
        ),
        _survey_rows,
    ),
    TidyTable(
        "sections",
        "a section of a survey, with what was read of it",
        (_SURVEY_ID, _SECTION, *map(_field_column, SECTION_FIELDS)),
        _section_rows,
    ),
    TidyTable(
        "results",
        "a section of a survey that counts, as it was sized",
        (
            _SURVEY_ID,
            _words("state", "release, confirm or hold"),
            _SECTION,
            _words("register", "bass, tenor or treble"),
            _count("first_note", "key number of the lowest note, 1 to 88"),
            _count("last_note", "key number of the highest note"),
            _count("dampers", "number of dampers"),
            _mm("pitch_mm", "centre distance of neighbouring wires, mean"),
            _words("slip", "name of the slip that best explains readings that disagree"),
            Column("slip_odds", "slip_odds", "number", "", "how much better it explains them than the next"),
            _mm("angle_deg", "string to rail, from the treble direction to the tailward direction", "deg"),
            _words("side", "rear or front of the wires"),
            _mm("centre_line_mm", "centre line of the segment behind (+) or in front (-) of the wires"),
            _words("carrier", "item of the carrier"),
            _mm("edge_mm", "length of each long edge of the carrier"),
            _mm("length_mm", "long-point length of the carrier"),
            _mm("saw_angle_deg", "off square", "deg"),
            _words("saw_hand", "left or right"),
            _words("felt", "item of the felt"),
            _mm("felt_length_mm", "length of the felt strip"),
            _mm("felt_width_mm", "width of the felt strip"),
            _mm("stack_mm", "foot, carrier, felt and shim together"),
            _mm("free_mm", "free height over the guide rail on the hardest blow"),
            _mm("guard_mm", "what doubt takes off the free height"),
            _words("crank", "item of the crank"),
            _mm("lift_mm", "lift of the crank"),
            _mm("deflection_mm", "bending of the carrier between its stations"),
            _mm("press_force_n", "force of the segment's felt on its strings", "N"),
        ),
        _plain(_RESULTS),
    ),
    TidyTable(
        "wires",
        "a damper wire of a survey that counts, where it is reckoned to stand",
        (
            _SURVEY_ID,
            _SECTION,
            _count("wire", "number of the wire in its section, 1 at the bass"),
            _count("note", "key number, 1 to 88"),
            _mm("x_mm", "along the damper line, 0 at the outer edge of the section's first head"),
            _mm("u95_mm", "half-width of the 95 % band of x"),
        ),
        _wire_rows,
    ),
    TidyTable(
        "findings",
        "a finding on a survey that counts",
        (
            _SURVEY_ID,
            _count("number", "its place among the findings of the survey"),
            _words("rule", "name of the rule; railwright rules explains it"),
            _words("severity", "fix holds the instrument, confirm asks, note never changes anything"),
            _words("field", "key of the survey field"),
            _words("sheet", "sheet of the workbook"),
            _words("cell", "cell of the sheet"),
            _words("message", "the sentence"),
        ),
        _plain(_FINDINGS),
    ),
    TidyTable(
        "changes",
        "a cell that a corrected survey changed",
        (
            Column("survey_id", "survey_id", "count", "", "number of the corrected survey"),
            _words("field", "key of the survey field"),
            _words("sheet", "sheet of the workbook"),
            _words("cell", "cell of the sheet"),
            _words("old", "as it was written before"),
            _words("new", "as it is written now"),
        ),
        _plain(_CHANGES),
    ),
    TidyTable(
        "order_lines",
        "a line of a parts order",
        (
            _count("order_line_id", "number of the line in the ledger"),
            _AT,
            _words("item", "item that is needed"),
            _words("buy_item", "item that is bought for it"),
            _words("name", "name of the item"),
            _words("unit", "unit of all amounts of the line"),
            Column("need", "need", "money", "", "what the instruments need"),
            _count("on_hand", "on the shelf then"),
            _count("on_way", "ordered earlier and still to come then"),
            _count("buy", "what is bought"),
            _count("pack", "what one pack holds"),
            _count("packs", "packs bought"),
            Column("cost", "cost", "money", "", "of the whole line; empty where the shop book has no price"),
            _words("currency", "of the cost, as the shop book names it"),
            _words("supplier", "supplier group"),
            _day("needed_by", "earliest day among the instruments that need it"),
            _count("delivered", "of what is bought, how much has come"),
            _count("cancelled", "of what is bought, how much will not come"),
        ),
        _plain(_ORDER_LINES, _order_row),
    ),
    TidyTable(
        "order_needs",
        "an instrument's order that a line of a parts order is for",
        (
            _count("order_line_id", "number of the line"),
            _words("order_no", "order number of the instrument"),
            _day("needed_by", "day its kit is needed"),
        ),
        _plain(_ORDER_NEEDS, lambda row: (row["order_line_id"], row["order_no"], day_of(row["needed_by"]))),
    ),
)

_TYPES: dict[Kind, str] = {
    "words": "text",
    "day": "date",
    "count": "whole number",
    "number": "number",
    "share": "number",
    "money": "decimal",
    "flag": "true or false",
}

DICTIONARY_COLUMNS = (
    _words("table", "name of the table"),
    _words("column", "name of the column"),
    _words("type", "text, date, whole number, number, decimal, true or false"),
    _words("unit", "unit, where there is one"),
    _words("meaning", "what it holds"),
    _words("a_row_is", "what a row of the table is"),
)


def dictionary_rows() -> Iterator[tuple[Value, ...]]:
    """Go through every column of every table: table, column, type, unit, meaning, and what a row of the table is."""
    for table in TABLES:
        for column in table.columns:
            yield table.name, column.key, _TYPES[column.kind], column.unit, column.help, table.about


DICTIONARY = TidyTable(
    "data_dictionary", "a column of a table of this export", DICTIONARY_COLUMNS, lambda connection: dictionary_rows()
)
