"""Which cell a defined name stands for."""

from __future__ import annotations

import pytest

from railwright.reading.defined_names import NameTarget
from railwright.reading.workbook import read_workbook
from workbook_kit import book_parts, saved, sheet_xml, zipped

MERGE = '<mergeCells count="1"><mergeCell ref="B3:C4"/></mergeCells>'
SHEETS = {"S 1": sheet_xml("", after=MERGE), "It's": sheet_xml(""), "Plain": sheet_xml("")}


def target(tmp_path, formula: str) -> NameTarget:
    book = read_workbook(saved(tmp_path, zipped(book_parts(SHEETS, names={"order_no": formula}))))
    return book.names["order_no"]


@pytest.mark.parametrize(
    ("formula", "sheet", "cell"),
    [
        ("Plain!$B$3", "Plain", "B3"),
        ("Plain!B3", "Plain", "B3"),
        ("plain!$b$3", "Plain", "B3"),
        ("=Plain!$B3", "Plain", "B3"),
        ("'S 1'!$B$7", "S 1", "B7"),
        ("'It''s'!A1", "It's", "A1"),
        ("'Plain'!XFD1048576", "Plain", "XFD1048576"),
        ("'S 1'!$B$3:$C$4", "S 1", "B3"),
        ("Plain!$B$3:$B$3", "Plain", "B3"),
    ],
)
def test_a_name_gives_its_cell(tmp_path, formula, sheet, cell):
    found = target(tmp_path, formula)
    assert (found.sheet, found.cell, found.problem) == (sheet, cell, "")


@pytest.mark.parametrize(
    ("formula", "problem"),
    [
        ("#REF!", "deleted"),
        ("Plain!#REF!", "deleted"),
        ("'S 1'!$B$3:$C$5", "not one cell"),
        ("Plain!$A:$A", "not one cell"),
        ("Plain!$A$1,Plain!$B$2", "not one cell"),
        ("Plain:Third!$A$1", "not one cell"),
        ("OFFSET(Plain!$A$1,1,1)", "not one cell"),
        ("42", "not one cell"),
        ("&quot;mm&quot;", "not one cell"),
        ("", "not one cell"),
        ("$A$1", "not one cell"),
        ("[1]Plain!$A$1", "another workbook"),
        ("'[week 3.xlsx]S 1'!$A$1", "another workbook"),
        ("Elsewhere!$A$1", "missing"),
        ("Plain!XFE1", "not one cell"),
    ],
)
def test_a_name_without_a_cell_says_why(tmp_path, formula, problem):
    found = target(tmp_path, formula)
    assert problem in found.problem
    assert (found.sheet, found.cell) == ("", "")


def with_local(*elements: str) -> bytes:
    parts = book_parts(SHEETS, names={"other": "Plain!$A$1"})
    parts["xl/workbook.xml"] = str(parts["xl/workbook.xml"]).replace(
        "<definedNames>", "<definedNames>" + "".join(elements)
    )
    return zipped(parts)


def test_a_copied_sheet_does_not_take_the_name_over(tmp_path):
    data = with_local(
        '<definedName name="site" localSheetId="2">Plain!$B$9</definedName>',
        "<definedName name=\"site\">'S 1'!$B$2</definedName>",
    )
    assert read_workbook(saved(tmp_path, data)).names["site"].cell == "B2"


def test_the_name_of_a_sheet_that_was_moved_in_is_taken(tmp_path):
    data = with_local('<definedName name="site" localSheetId="2">Plain!$B$9</definedName>')
    assert read_workbook(saved(tmp_path, data)).names["site"].cell == "B9"


def test_a_name_that_two_sheets_have_is_not_guessed(tmp_path):
    data = with_local(
        '<definedName name="site" localSheetId="2">Plain!$B$9</definedName>',
        '<definedName name="site" localSheetId="1">Plain!$B$8</definedName>',
    )
    assert "site" not in read_workbook(saved(tmp_path, data)).names
