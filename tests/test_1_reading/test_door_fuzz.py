"""Random damage to files, parts and cells: the door gives a workbook or a sentence, and nothing else.

A longer run: ``RAILWRIGHT_EXAMPLES=200000`` in the environment, here and in the tests of flagged copies.
"""

from __future__ import annotations

import io
import os
import tempfile
import zipfile
from datetime import date, datetime, time
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from feature_books import BOOKS
from hostile_files import good
from open_document_kit import survey
from railwright.reading.addresses import address, column_letters, column_number, parse_address, parse_range
from railwright.reading.defined_names import read_target
from railwright.reading.formats import is_date_format
from railwright.reading.recognise import not_a_zip
from railwright.reading.strings import unescape
from railwright.reading.unreadable import Unreadable
from railwright.reading.workbook import Workbook, read_workbook
from railwright.writing.patching.flag_copy import flag_copy
from railwright.writing.patching.flags import FindingsSheet, Flag
from railwright.writing.patching.text import escape as escape_text
from workbook_kit import book_parts, sheet_xml, zipped

EXAMPLES = int(os.environ.get("RAILWRIGHT_EXAMPLES", "40"))
fuzz = settings(max_examples=EXAMPLES, deadline=None)
SEEDS = {name: BOOKS[name]() for name in ("notes", "printing", "by-openpyxl")} | {"ods": survey()}


def read_all(data: bytes) -> Workbook | None:
    """Read everything in a file, or nothing where it is refused in words."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "survey.xlsx"
        path.write_bytes(data)
        try:
            book = read_workbook(path)
            assert isinstance(book.names, dict)
            for sheet in book.sheets:
                for _, value in book.cells(sheet.name):
                    assert value.kind in ("text", "number", "bool", "date", "error", "formula_without_result")
        except Unreadable as problem:
            assert problem.reason.endswith(".")
            assert problem.remedy.endswith(".")
            return None
        return book


def flag_or_refuse(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        source, target = Path(folder) / "survey.xlsx", Path(folder) / "copy.xlsx"
        source.write_bytes(data)
        try:
            flag_copy(source, target, [Flag("S 1", "B2", "fix", "x", "C2", "y")], FindingsSheet("x"))
        except Unreadable:
            assert not target.exists()
            return
        assert (read_all(data) is None) or read_all(target.read_bytes()) is not None


@fuzz
@given(st.binary(max_size=300))
def test_any_bytes_are_named(data):
    assert read_all(data) is None
    assert not_a_zip(data).reason


@fuzz
@given(
    st.sampled_from(sorted(SEEDS)),
    st.lists(st.tuples(st.integers(0, 10**6), st.integers(0, 255)), min_size=1, max_size=8),
)
def test_turned_over_bytes(seed, changes):
    data = bytearray(SEEDS[seed])
    for at, value in changes:
        data[at % len(data)] = value
    read_all(bytes(data))
    flag_or_refuse(bytes(data))


@fuzz
@given(st.sampled_from(sorted(SEEDS)), st.integers(0, 10**6), st.integers(0, 400), st.binary(max_size=20))
def test_bytes_lost_and_put_in(seed, at, length, more):
    data = SEEDS[seed]
    at %= len(data)
    changed = data[:at] + more + data[at + length :]
    read_all(changed)
    flag_or_refuse(changed)


@fuzz
@given(st.integers(0, 10**6), st.binary(min_size=1, max_size=8))
def test_damaged_directories(at, value):
    """The last part of a zip file is its directory, where damage does most."""
    data = good()
    start = data.index(b"PK\x01\x02")
    at = start + at % (len(data) - start)
    read_all(data[:at] + value + data[at + len(value) :])


XML_PARTS = [
    (seed, name)
    for seed in ("notes", "ods")
    for name in zipfile.ZipFile(io.BytesIO(SEEDS[seed])).namelist()
    if name.endswith((".xml", ".rels", ".vml"))
]
PIECES = st.sampled_from(
    ["<", ">", "/", '"', "<c/>", '<c r="B2"/>', '<c r="A0"/>', "</row>", "&amp;", "&x;", "\x00", "1e999",
     "<!DOCTYPE a>", "]]>", "-", 'r="', 's="9"', 't="s"', "<v>7</v>", "<f/>", 'xmlns="a"', "<x:Row>9</x:Row>",
     "</v:shape>", "<v:shape>", "99999999999", "9" * 5000, "é"]
)  # fmt: skip


@fuzz
@given(
    st.sampled_from(XML_PARTS),
    st.lists(st.tuples(st.integers(0, 10**5), st.integers(0, 12), PIECES), min_size=1, max_size=4),
)
def test_parts_with_pieces_in_wrong_places(part, changes):
    seed, name = part
    parts = {}
    with zipfile.ZipFile(io.BytesIO(SEEDS[seed])) as archive:
        for member in archive.namelist():
            parts[member] = archive.read(member)
    text = parts[name].decode()
    for at, length, piece in changes:
        at %= len(text) + 1
        text = text[:at] + piece + text[at + length :]
    parts[name] = text.encode("utf-8", "replace")
    data = zipped(parts)
    read_all(data)
    flag_or_refuse(data)


ATTRIBUTE = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"], exclude_characters="\ufffe\uffff"), max_size=12
)


@fuzz
@given(
    st.sampled_from(["s", "str", "inlineStr", "b", "e", "n", "d", "", "x"]) | ATTRIBUTE,
    ATTRIBUTE | st.floats().map(repr) | st.integers().map(str) | st.datetimes().map(str),
    st.integers(-5, 20).map(str) | ATTRIBUTE,
    st.none() | ATTRIBUTE,
)
@example("n", "-0", "1", None)
@example("n", "1e-400", "4", None)
@example("n", "2958465.9999999", "1", None)
@example("n", "0.99999999", "1", None)
@example("d", "9999-12-31T24:00:00", "0", None)
def test_any_cell_is_understood(kind, raw, style, formula):
    written = "" if formula is None else f"<f>{escape(formula)}</f>"
    cell = f"<c r='A1' t={quoteattr(kind)} s={quoteattr(style)}>{written}<v>{escape(raw)}</v></c>"
    book = read_all(zipped(book_parts({"S 1": sheet_xml(f"<row>{cell}</row>")}, strings="<si><t>a</t></si>")))
    assert book is not None
    value = book.cell("S 1", "A1")
    types = {"text": str, "number": float, "bool": bool, "date": (date, datetime, time)}
    assert isinstance(value.value, types.get(value.kind, type(None)))


@given(st.text())
def test_any_text_is_an_address_or_none(text):
    place = parse_address(text)
    assert place is None or parse_address(address(*place)) == place
    area = parse_range(text)
    assert area is None or (area[0] <= area[2] and area[1] <= area[3])


@given(st.integers(1, 1_048_576), st.integers(1, 16_384))
def test_addresses_are_written_and_read_back(row, column):
    assert parse_address(address(row, column)) == (row, column)
    assert column_number(column_letters(column)) == column


@pytest.mark.parametrize(
    ("number", "letters"), [(1, "A"), (26, "Z"), (27, "AA"), (702, "ZZ"), (703, "AAA"), (16_384, "XFD")]
)
def test_column_letters(number, letters):
    """ECMA-376-1, 18.18.7: the columns run from A over Z and AA to XFD."""
    assert column_letters(number) == letters


@given(st.text())
def test_any_definition_of_a_name_is_a_cell_or_a_reason(text):
    target = read_target(text, {"plain": "Plain"})
    assert bool(target.problem) != bool(target.cell)


@given(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\ufffe\uffff"), max_size=60))
@example("_x000D_")
@example("_x005F_x000D_")
@example("__x000D__x0041_")
@example("a\x00\r\n\tb")
def test_text_is_escaped_and_read_back(text):
    """ECMA-376-1, 22.9.2.19: what is written as ST_Xstring comes back as it was."""
    assert unescape(escape_text(text)) == text


@given(st.text(max_size=40))
def test_any_format_code_is_judged(code):
    assert is_date_format(code) in (True, False)
