"""Weeks for tests of the ledger, without workbooks: pianos by hand, then the same road as ``railwright process``."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

from railwright.book.default_catalogue import default_shop_book
from railwright.book.model import ShopBook, StockLine
from railwright.computing.results import CarrierCut, FeltCut, InstrumentResult, Part, SectionResult, Station
from railwright.one_file import Examined
from railwright.pipeline import decide, plan
from railwright.reading.survey import survey_of_answers
from railwright.recording import Recording
from railwright.sharing import packed
from railwright.survey.fields import field_by_key
from railwright.survey.findings import Finding
from railwright.survey.records import Answer
from railwright.writing.week import Instrument, Week

BAR = StockLine("RC-S08", Decimal(2000), Decimal(0), "bar", 1, Decimal("9.00"), 0, supplier="metals")
FELT = StockLine("FE-30", Decimal(1200), Decimal(500), "sheet", 1, Decimal("38.00"), 50)
FEET = StockLine("HF-30", Decimal(0), Decimal(0), "pieces", 20, Decimal("15.00"), 0, supplier="hardware")
CABLE = StockLine("HC-01", Decimal(0), Decimal(0), "mm", 10000, Decimal("18.00"), 0)
GLUE = StockLine("HA-01", Decimal(0), Decimal(0), "g", 250, Decimal("9.00"), 0)
HELD = Finding("missing_reading", "fix", "The span of section 1 is missing. Measure it.", "s1_span", "Survey", "B18")
DOUBT = Finding("readings_disagree", "confirm", "Count, run and span disagree.", "s1_run", "Survey", "B19")


def shop_book(*lines: StockLine, name: str = "bench") -> ShopBook:
    book = default_shop_book()
    return replace(
        book, name=name, stock=lines or (BAR, FELT, FEET, CABLE, GLUE), rules={**book.rules, "bar_trim": 0.0}
    )


BOOK = shop_book()


def on_hand(line: StockLine, amount: int) -> StockLine:
    return replace(line, on_hand=amount)


def piano(
    order: str | None = "R-1",
    *lengths: float,
    feet: int = 0,
    cable: float = 0,
    glue: float = 0,
    file: str = "",
    findings: tuple[Finding, ...] = (),
    row: int = 1,
    **answers: object,
) -> Instrument:
    """Make an instrument whose segments are so long; further answers are readings by field."""
    told: dict[str, object] = {"order_no": order, "maker": "Falk", "model": "C-172", "serial": f"S {order}"}
    told |= {"technician": "Mara Quill", "needed_by": date(2031, 4, 1), "s1_span": 300.0, **answers}
    cells = {
        key: Answer(field_by_key()[key], "Survey", f"B{row + place}", str(value), value)
        for place, (key, value) in enumerate(told.items())
        if value is not None
    }
    survey = survey_of_answers(file or f"{order}.xlsx", 1.0, cells, 1)
    result = InstrumentResult(tuple(_segment(number, length) for number, length in enumerate(lengths, start=1)))
    parts = [Part("RC-S08", sum(lengths), "mm"), Part("FE-30", sum(lengths), "mm")] if lengths else []
    small = (Part("HF-30", float(feet), "pieces"), Part("HC-01", cable, "mm"), Part("HA-01", glue, "g"))
    parts += [part for part in small if part.quantity]
    return Instrument(survey.file, survey, findings, result, tuple(parts))


def _segment(number: int, length: float) -> SectionResult:
    carrier = CarrierCut("RC-S08", length, length, 0.0, "square", 0.0, length, 8.0, 8.0)
    felt = FeltCut("FE-30", length, 8.0, 3.0)
    return SectionResult(number, "bass", 1, 20, carrier=carrier, felt=felt, stations=(Station(1, 0, 0),))


def entered(
    connection: sqlite3.Connection, *pianos: Instrument, book: ShopBook = BOOK, include_confirm: bool = False
) -> Week:
    """Enter a week as ``railwright process`` does, all but its output folder."""
    recording = Recording(connection)
    week = planned(recording, pianos, book, include_confirm)
    recording.prepare()
    recording.done()
    return week


def planned(
    recording: Recording, pianos: Sequence[Instrument], book: ShopBook = BOOK, include_confirm: bool = False
) -> Week:
    """Do the same as far as the output folder would be written."""
    recording.begin(Path("surveys"), Path("out"), book, lambda sentence: None)
    examined = [Examined(each.light(), packed(each)) for each in pianos]
    together, _, shelf = decide(examined, book, include_confirm, recording)
    return plan(together, shelf, recording)


def bought(week: Week) -> dict[str, int]:
    return {line.item: int(line.buy) for line in week.order if line.buy}


def cut(week: Week) -> list[str]:
    bars = [sheet.plan for sheet in week.cutting if sheet.kind == "bar"]
    return sorted(piece.label for sheet in bars for bar in sheet.bars for piece in bar.pieces)


def news(week: Week) -> list[str]:
    return [one.standing.news if one.standing else "-" for one in week.instruments]


def rows(connection: sqlite3.Connection, query: str) -> list[tuple[object, ...]]:
    return [tuple(row) for row in connection.execute(query)]


def shelf(connection: sqlite3.Connection, item: str) -> list[tuple[object, ...]]:
    """List what there is of an item: length in mm, rack, on hand, promised, on the way."""
    query = "SELECT length / 10.0, rack, on_hand, promised, on_way FROM shelf WHERE item = ? AND "
    query += "(on_hand OR promised OR on_way) ORDER BY length, rack"
    return [tuple(row) for row in connection.execute(query, (item,))]


#: Everything a ledger holds but for moments, tokens and places.
_SKIPPED = {"at", "token", "machine", "folder", "out", "program"}


def contents(connection: sqlite3.Connection) -> dict[str, list[tuple[object, ...]]]:
    """Give all rows of all tables, so that two ledgers can be compared."""
    found = {}
    for (table,) in rows(connection, "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name"):
        columns = [str(row[1]) for row in rows(connection, f"PRAGMA table_info({table})")]
        kept = ", ".join(column for column in columns if column not in _SKIPPED)
        found[str(table)] = rows(connection, f"SELECT {kept} FROM {table} ORDER BY {kept}")
    return found


def check_sums(connection: sqlite3.Connection) -> None:
    """See that every stock line adds up, movement by movement, and that nothing is promised that does not come."""
    moves = rows(connection, "SELECT stock_id, change, before, after FROM movement ORDER BY stock_id, id")
    left: dict[object, int] = {}
    for stock, change, before, after in moves:
        assert before == left.get(stock, 0), "a movement starts where the one before it ended"
        assert int(str(before)) + int(str(change)) == after
        left[stock] = int(str(after))
    assert not rows(connection, "SELECT * FROM shelf WHERE promised > on_way"), "promised, but not on the way"
    assert not rows(connection, "SELECT * FROM shelf WHERE on_hand > 0 AND promised > 0")
    sums = rows(
        connection,
        "SELECT l.delivered - coalesce((SELECT sum(change) FROM movement m WHERE m.order_line_id = l.id AND "
        "m.kind = 'delivered'), 0) FROM order_line l",
    )
    assert all(row == (0,) for row in sums), "what has come is on the shelf"
    assert rows(connection, "PRAGMA foreign_key_check") == []
