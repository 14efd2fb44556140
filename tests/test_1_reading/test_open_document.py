"""OpenDocument spreadsheets are read as the usual format is."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest

from open_document_kit import content, gap, number, packed, row, survey, table, text
from railwright.reading.open_document import read_target
from railwright.reading.sheet import CellValue
from railwright.reading.unreadable import Unreadable
from railwright.reading.workbook import Workbook, read_workbook
from workbook_kit import saved


def opened(tmp_path, tables: str, names: str = "") -> Workbook:
    return read_workbook(saved(tmp_path, packed(content(tables, names)), "survey.ods"))


def read(tmp_path, cell: str) -> CellValue:
    return opened(tmp_path, table(row(cell))).cell("S 1", "A1")


@pytest.mark.parametrize(
    ("attributes", "inside", "kind", "value"),
    [
        ("", "", "blank", None),
        ('office:value-type="string"', "<text:p>12 1/8</text:p>", "text", "12 1/8"),
        ('office:value-type="string"', "<text:p>a</text:p><text:p>b</text:p>", "text", "a\nb"),
        ('office:value-type="string"', '<text:p>a<text:s text:c="3"/>b<text:tab/>c</text:p>', "text", "a   b\tc"),
        ('office:value-type="string"', "<text:p>12 <text:span>1/8</text:span>in</text:p>", "text", "12 1/8in"),
        ('office:value-type="string" office:string-value="x"', "<text:p>shown</text:p>", "text", "x"),
        ('office:value-type="string"', "<office:annotation><text:p>note</text:p></office:annotation>", "blank", None),
        ("", "<office:annotation><text:p>note</text:p></office:annotation><text:p>t</text:p>", "text", "t"),
        ('office:value-type="float" office:value="308.5"', "<text:p>308,5</text:p>", "number", 308.5),
        ('office:value-type="currency" office:value="3"', "", "number", 3.0),
        ('office:value-type="percentage" office:value="0.5"', "", "number", 0.5),
        ('office:value-type="float" office:value="NaN"', "", "error", None),
        ('office:value-type="float" office:value="INF"', "", "error", None),
        ('office:value-type="float"', "", "error", None),
        ('office:value-type="boolean" office:boolean-value="true"', "", "bool", True),
        ('office:value-type="boolean" office:boolean-value="1"', "", "error", None),
        ('office:value-type="date" office:date-value="2026-03-08"', "", "date", date(2026, 3, 8)),
        ('office:value-type="date" office:date-value="2026-03-08T12:00:00"', "", "date", datetime(2026, 3, 8, 12)),
        ('office:value-type="date" office:date-value="8.3.2026"', "", "error", None),
        ('office:value-type="time" office:time-value="PT06H30M00S"', "", "date", time(6, 30)),
        ('office:value-type="time" office:time-value="PT36H00M00S"', "", "number", 1.5),
        ('office:value-type="time" office:time-value="soon"', "", "error", None),
        ('table:formula="of:=1+1"', "", "formula_without_result", None),
        ('table:formula="of:=1+1" office:value-type="float" office:value="2"', "", "number", 2.0),
        ('calcext:value-type="error" office:value-type="string"', "<text:p>#N/A</text:p>", "error", None),
    ],
)  # fmt: skip
def test_a_cell_element_is_understood(tmp_path, attributes, inside, kind, value):
    found = read(tmp_path, f"<table:table-cell {attributes}>{inside}</table:table-cell>")
    assert (found.kind, found.value) == (kind, value)


def test_a_date_keeps_the_number_that_the_usual_format_has(tmp_path):
    found = read(tmp_path, '<table:table-cell office:value-type="date" office:date-value="2026-03-08"/>')
    assert found == CellValue("date", date(2026, 3, 8), "2026-03-08", "yyyy-mm-dd", None, 46089.0)


def test_runs_of_cells_and_rows_are_counted(tmp_path):
    seven = '<table:table-cell table:number-columns-repeated="2" office:value-type="float" office:value="7"/>'
    rows = row(gap(2), seven) + row(gap(5), repeated=3) + row(number("8"), repeated=2)
    book = opened(tmp_path, table(rows))
    assert {ref: value.value for ref, value in book.cells("S 1")} == {"C1": 7, "D1": 7, "A5": 8, "A6": 8}


def test_rows_inside_groups_and_headers_count(tmp_path):
    first, second, third = (row(number(value)) for value in "123")
    rows = f"<table:table-header-rows>{first}</table:table-header-rows><table:table-row-group>{second}"
    book = opened(tmp_path, table(rows + f"</table:table-row-group>{third}"))
    assert [value.value for _, value in book.cells("S 1")] == [1, 2, 3]


def test_a_cell_inside_a_merge_is_its_top_left_one(tmp_path):
    merged = '<table:table-cell table:number-columns-spanned="2" office:value-type="float" office:value="5"/>'
    book = opened(tmp_path, table(row(merged, '<table:covered-table-cell table:number-columns-repeated="1"/>')))
    assert book.cell("S 1", "B1").value == 5


@pytest.mark.parametrize(
    ("reference", "sheet", "cell"),
    [
        ("$'S 1'.$B$3", "S 1", "B3"),
        ("$Plain.$B$3", "Plain", "B3"),
        ("Plain.B3", "Plain", "B3"),
        ("$'It''s'.$A$1", "It's", "A1"),
        ("$Plain.$B$3:.$B$3", "Plain", "B3"),
        ("$Plain.$B$3:$Plain.$C$4", "Plain", "B3"),
    ],
)
def test_a_named_range_gives_its_cell(reference, sheet, cell):
    found = read_target(reference, {"s 1": "S 1", "plain": "Plain", "it's": "It's"})
    assert (found.sheet, found.cell, found.problem) == (sheet, cell, "")


@pytest.mark.parametrize(
    ("reference", "problem"),
    [
        ("$#REF!.$B$3", "deleted"),
        ("$Plain.#REF!", "deleted"),
        ("$Gone.$A$1", "missing"),
        ("'file:///week.ods'#$Plain.$A$1", "another workbook"),
        ("$Plain.$A$0", "not one cell"),
        ("", "not one cell"),
        ("42", "not one cell"),
    ],
)
def test_a_named_range_without_a_cell_says_why(reference, problem):
    assert problem in read_target(reference, {"plain": "Plain"}).problem


def test_names_states_and_cells_of_a_survey(tmp_path):
    book = read_workbook(saved(tmp_path, survey(), "survey.ods"))
    assert [(sheet.name, sheet.state) for sheet in book.sheets] == [("S 1", "visible"), ("Other", "visible")]
    target = book.names["s1_span"]
    assert book.cell(target.sheet, target.cell).value == 308.5


def test_the_name_of_the_file_does_not_matter(tmp_path):
    assert read_workbook(saved(tmp_path, survey(), "survey.xlsx")).cell("S 1", "B2").value == 308.5


def test_hidden_sheets_are_told_apart(tmp_path):
    book = opened(tmp_path, table(row(), "A") + table(row(), "B", ' table:style-name="ta9"'))
    assert [sheet.state for sheet in book.sheets] == ["visible", "hidden"]


def test_a_workbook_with_a_password_is_named(tmp_path):
    data = packed(b"\x00\x01", manifest=b"<manifest><encryption-data/></manifest>")
    with pytest.raises(Unreadable, match="password"):
        read_workbook(saved(tmp_path, data))


@pytest.mark.parametrize("part", ["<a/>", "<broken", content("", "").replace("office:spreadsheet", "office:text")])
def test_content_without_sheets_is_named(tmp_path, part):
    with pytest.raises(Unreadable, match="damaged"):
        read_workbook(saved(tmp_path, packed(part)))


def test_a_few_bytes_cannot_stand_for_a_million_cells(tmp_path):
    cell = '<table:table-cell table:number-columns-repeated="16384" office:value-type="float" office:value="7"/>'
    book = opened(tmp_path, table(row(cell, repeated=1_048_576)))
    with pytest.raises(Unreadable, match="cells"):
        book.cell("S 1", "A1")


def test_a_few_bytes_cannot_stand_for_a_long_text(tmp_path):
    found = read(tmp_path, text('<text:s text:c="99999"/>a' * 10))
    assert len(found.text) < 11_000
