"""What a cell element means. Each case is one cell as it stands in the part, and what is read."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest

from railwright.reading.sheet import CellValue
from railwright.reading.unreadable import Unreadable
from railwright.reading.workbook import read_workbook
from workbook_kit import MAIN, STRICT, book_parts, one_sheet, saved, sheet_xml, zipped

STRINGS = (
    "<si><t>plain</t></si>"
    "<si><r><t>12 </t></r><r><rPr><b/></rPr><t>1/8</t></r></si>"
    '<si><t>大阪</t><rPh sb="0" eb="2"><t>オオサカ</t></rPh><phoneticPr fontId="1"/></si>'
    '<si><t xml:space="preserve"> 12 1/8"\u00a0</t></si>'
    "<si><t>a_x000D_b _x005F_x000D_ _xD800_</t></si>"
    "<si/>"
)


def read(tmp_path, cell: str, ref: str = "A1", **more: object) -> CellValue:
    path = saved(tmp_path, one_sheet(f'<row r="1">{cell}</row>', strings=STRINGS, **more))
    return read_workbook(path).cell("S 1", ref)


@pytest.mark.parametrize(
    ("cell", "kind", "value"),
    [
        ('<c r="A1"/>', "blank", None),
        ('<c r="A1" t="s"><v>0</v></c>', "text", "plain"),
        ('<c r="A1" t="s"><v>1</v></c>', "text", "12 1/8"),
        ('<c r="A1" t="s"><v>2</v></c>', "text", "大阪"),
        ('<c r="A1" t="s"><v>3</v></c>', "text", ' 12 1/8"\u00a0'),
        ('<c r="A1" t="s"><v>4</v></c>', "text", "a\rb _x000D_ _xD800_"),
        ('<c r="A1" t="s"><v>5</v></c>', "blank", None),
        ('<c r="A1" t="s"><v>6</v></c>', "error", None),
        ('<c r="A1" t="s"><v>-1</v></c>', "error", None),
        ('<c r="A1" t="inlineStr"><is><t>=1+1</t></is></c>', "text", "=1+1"),
        ('<c r="A1" t="inlineStr"><is><r><t>a</t></r><r><t>b</t></r></is></c>', "text", "ab"),
        ('<c r="A1" t="inlineStr"/>', "blank", None),
        ('<c r="A1"><v>308</v><v>309</v></c>', "number", 308.0),
        ('<c r="A1"><!-- 307 --><extLst><v>309</v></extLst><v>308</v></c>', "number", 308.0),
        ('<c r="A1"><f/><f>1+1</f></c>', "formula_without_result", None),
        ('<c r="A1"><v>308</v></c>', "number", 308.0),
        ('<c r="A1" t="n"><v> 12.125 </v></c>', "number", 12.125),
        ('<c r="A1"><v>-1.5E-3</v></c>', "number", -0.0015),
        ('<c r="A1"><v>NaN</v></c>', "error", None),
        ('<c r="A1"><v>INF</v></c>', "error", None),
        ('<c r="A1"><v>1e999</v></c>', "error", None),
        ('<c r="A1"><v>0x10</v></c>', "error", None),
        ('<c r="A1"><v>1_000</v></c>', "error", None),
        ('<c r="A1"><v>١٢</v></c>', "error", None),
        ('<c r="A1"><v>' + "9" * 401 + "</v></c>", "error", None),
        ('<c r="A1" t="b"><v>1</v></c>', "bool", True),
        ('<c r="A1" t="b"><v>0</v></c>', "bool", False),
        ('<c r="A1" t="b"><v>2</v></c>', "error", None),
        ('<c r="A1" t="e"><v>#N/A</v></c>', "error", None),
        ('<c r="A1" t="d"><v>2026-03-08</v></c>', "date", date(2026, 3, 8)),
        ('<c r="A1" t="d"><v>8 March</v></c>', "error", None),
        ('<c r="A1" t="zz"><v>1</v></c>', "error", None),
        ('<c r="A1" s="1"><v>46089</v></c>', "date", date(2026, 3, 8)),
        ('<c r="A1" s="4"><v>46089.5</v></c>', "date", datetime(2026, 3, 8, 12)),
        ('<c r="A1" s="4"><v>0.25</v></c>', "date", time(6)),
        ('<c r="A1" s="1"><v>-3</v></c>', "number", -3.0),
        ('<c r="A1" s="3"><v>46089</v></c>', "number", 46089.0),
        ('<c r="A1" s="99"><v>46089</v></c>', "number", 46089.0),
        ('<c r="A1" s="-1"><v>7</v></c>', "number", 7.0),
        ('<c r="A1"><f>1+1</f></c>', "formula_without_result", None),
        ('<c r="A1"><f>1+1</f><v></v></c>', "formula_without_result", None),
        ('<c r="A1"><f>1+1</f><v>2</v></c>', "number", 2.0),
        ('<c r="A1" t="str"><f>A2</f><v>mm</v></c>', "text", "mm"),
        ('<c r="A1" t="str"><f>A2</f><v></v></c>', "blank", None),
        ('<c r="A1" t="str"><f>A2</f></c>', "formula_without_result", None),
    ],
)
def test_a_cell_element_is_understood(tmp_path, cell, kind, value):
    found = read(tmp_path, cell)
    assert (found.kind, found.value) == (kind, value)


def test_text_formula_format_and_serial_are_kept_beside_the_value(tmp_path):
    assert read(tmp_path, '<c r="A1" s="1"><v>46089</v></c>') == CellValue(
        "date", date(2026, 3, 8), "2026-03-08", "yyyy\\-mm\\-dd", None, 46089.0
    )
    assert read(tmp_path, '<c r="A1" s="5"><f>3/8</f><v>0.375</v></c>') == CellValue(
        "number", 0.375, "0.375", "# ?/?", "3/8"
    )
    assert read(tmp_path, '<c r="A1"><v>308.0</v></c>').text == "308"


def test_an_error_keeps_what_stands_in_the_cell(tmp_path):
    assert read(tmp_path, '<c r="A1" t="e"><v>#DIV/0!</v></c>').text == "#DIV/0!"
    assert read(tmp_path, '<c r="A1"><v>NaN</v></c>').text == "NaN"


def test_the_1904_date_system_shifts_dates(tmp_path):
    """ECMA-376-1, 18.17.4.1: serial 0 is 1 January 1904 there."""
    found = read(tmp_path, '<c r="A1" s="1"><v>0</v></c>', properties='<workbookPr date1904="1"/>')
    assert found.value == date(1904, 1, 1)


def test_cells_without_addresses_are_counted(tmp_path):
    rows = (
        '<row><c><v>1</v></c><c><v>2</v></c></row><row r="4"><c r="C4"><v>3</v></c><c><v>4</v></c></row><row><c/></row>'
    )
    book = read_workbook(saved(tmp_path, one_sheet(rows)))
    assert {ref: value.value for ref, value in book.cells("S 1")} == {"A1": 1, "B1": 2, "C4": 3, "D4": 4}


@pytest.mark.parametrize("ref", ["A0", "1A", "XFE1", "A1048577", "A-1", "", "A1:B2", "é1", "A１"])
def test_an_address_that_does_not_exist_is_refused(tmp_path, ref):
    with pytest.raises(Unreadable, match="address"):
        read(tmp_path, f'<c r="{ref}"><v>1</v></c>')


@pytest.mark.parametrize("row", ["0", "-1", "1048577", "x", "1.5", ""])
def test_a_row_that_does_not_exist_is_refused(tmp_path, row):
    path = saved(tmp_path, one_sheet(f'<row r="{row}"><c><v>1</v></c></row>'))
    with pytest.raises(Unreadable, match="address"):
        read_workbook(path).cell("S 1", "A1")


def test_the_last_cell_that_exists_is_read(tmp_path):
    path = saved(tmp_path, one_sheet('<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'))
    assert read_workbook(path).cell("S 1", "XFD1048576").value == 1


def test_two_cells_with_one_address_are_refused(tmp_path):
    with pytest.raises(Unreadable, match="twice"):
        read(tmp_path, '<c r="A1"><v>1</v></c><c r="A1"><v>2</v></c>')


def test_a_cell_inside_a_merge_is_its_top_left_one(tmp_path):
    merged = sheet_xml(
        '<row r="2"><c r="B2"><v>5</v></c><c r="C2"/></row>', after='<mergeCells><mergeCell ref="B2:D3"/></mergeCells>'
    )
    book = read_workbook(saved(tmp_path, zipped(book_parts({"S 1": merged}))))
    assert [book.cell("S 1", ref).value for ref in ("B2", "D3", "E3")] == [5, 5, None]


def test_the_strict_form_is_read(tmp_path):
    parts = book_parts({"S 1": sheet_xml('<row r="1"><c r="A1" s="1"><v>46089</v></c></row>')})
    strict = {
        name: str(text)
        .replace(MAIN, STRICT)
        .replace("schemas.openxmlformats.org/officeDocument/2006", "purl.oclc.org/ooxml/officeDocument")
        for name, text in parts.items()
    }
    assert read_workbook(saved(tmp_path, zipped(strict))).cell("S 1", "A1").value == date(2026, 3, 8)


def test_another_prefix_is_read(tmp_path):
    sheet = (
        f'<x:worksheet xmlns:x="{MAIN}"><x:sheetData><x:row r="1"><x:c r="A1" t="inlineStr"><x:is><x:t>hi</x:t></x:is>'
        "</x:c></x:row></x:sheetData></x:worksheet>"
    )
    assert read_workbook(saved(tmp_path, zipped(book_parts({"S 1": sheet})))).cell("S 1", "A1").value == "hi"


def test_a_workbook_without_styles_is_read(tmp_path):
    found = read(tmp_path, '<c r="A1" s="1"><v>46089</v></c>', styles="")
    assert (found.kind, found.value, found.number_format) == ("number", 46089.0, "General")


def test_only_the_sheets_asked_for_are_parsed(tmp_path):
    sheets = {"S 1": sheet_xml('<row r="1"><c r="A1"><v>1</v></c></row>'), "Notes": "<broken"}
    book = read_workbook(saved(tmp_path, zipped(book_parts(sheets))))
    assert book.cell("S 1", "A1").value == 1
    with pytest.raises(Unreadable, match="not whole"):
        book.cell("Notes", "A1")


def test_hidden_sheets_are_told_apart(tmp_path):
    parts = book_parts({"A": sheet_xml(""), "B": sheet_xml("")})
    parts["xl/workbook.xml"] = str(parts["xl/workbook.xml"]).replace('name="B"', 'name="B" state="veryHidden"')
    book = read_workbook(saved(tmp_path, zipped(parts)))
    assert [(sheet.name, sheet.state) for sheet in book.sheets] == [("A", "visible"), ("B", "hidden")]
