"""Lines kept as XML make the same workbook as cells of the library, byte by byte."""

import errno
import gc
import weakref
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import load_workbook

from railwright.shop import sheet_lines
from railwright.shop.sheet_lines import Lines
from railwright.shop.sheet_look import (
    add_sheet,
    fit_height,
    hairline,
    headings,
    new_workbook,
    put,
    remark,
    title,
    total_line,
    widths,
)
from railwright.shop.workbook_file import save_workbook

HEADS = ("Item", "Name", "Need", "Day", "Remark")
#: Values with their number formats; every row has as many as there are headings, but the last.
ROWS = (
    (("a", ""), ("plain", ""), (3, "#,##0"), (date(2031, 4, 2), "yyyy-mm-dd"), (None, "")),
    (("=1+1", ""), ("-5 mm", ""), (2.5, "0.0"), (date(2031, 4, 2), ""), ("@home", "")),
    (("", ""), ("", ""), (Decimal("1234.50"), "#,##0.00"), (None, "yyyy-mm-dd"), ("+", "")),
    ((" spaced ", ""), ("two\nlines", ""), (float("nan"), "0.0"), ("no day", "yyyy-mm-dd"), ("a\rb\tc", "")),
    (("☐ ü 𝄞", ""), ("<b> & \"c\" 'd' ]]>", ""), (-7, ""), (date(1900, 1, 31), "yyyy-mm-dd"), ("\x00\ud800x", "")),
    (("words " * 40, ""), ("l" * 9, ""), (1e-9, "0.0"), (0, ""), ("long " * 9000, "")),
    (('<lines first="6"/>', ""), (17, "0"), (1e22, "")),
)


def by_cells(sheet, row, entries, *, ruled=False, fitted=True):
    for column, (value, number_format) in enumerate(entries, start=1):
        put(sheet, row, column, value, number_format)
    if fitted:
        fit_height(sheet, row)
    if ruled:
        hairline(sheet, row, len(entries))


def by_lines(sheet, row, entries, *, ruled=False, fitted=True):
    lines = sheet_lines.lines_in(sheet) or Lines(sheet)
    lines.add(row, entries, ruled=ruled, fitted=fitted)


def saved(path: Path, write) -> bytes:
    """Write a workbook of lists, with everything around them that the outputs have, one way or the other."""
    workbook, sheet = new_workbook("First", "Lists")
    widths(sheet, (9, 12, 8, 11, 26))
    title(sheet, 1, "A list between cells")
    headings(sheet, 3, HEADS, {"Need"})
    for row, entries in enumerate(ROWS, start=4):
        write(sheet, row, entries, ruled=row % 2 == 0)
    remark(sheet, 12, "the end & so on", len(HEADS))
    total_line(sheet, 12, len(HEADS))
    second = add_sheet(workbook, "Second")
    widths(second, (9, 12))
    for block in range(3):
        headings(second, 10 * block + 1, HEADS)
        for row, entries in enumerate(ROWS, start=10 * block + 2):
            write(second, row, entries, ruled=row % 3 == 0, fitted=block == 1)
    put(add_sheet(workbook, "Third"), 2, 2, "no list")
    save_workbook(workbook, path)
    return path.read_bytes()


@pytest.mark.parametrize("in_memory", [1, 10**7])
def test_the_workbook_is_the_same_byte_by_byte(tmp_path, monkeypatch, in_memory):
    monkeypatch.setattr(sheet_lines, "_IN_MEMORY", in_memory)
    assert saved(tmp_path / "lines.xlsx", by_lines) == saved(tmp_path / "cells.xlsx", by_cells)


def test_what_was_written_is_read_back(tmp_path):
    saved(tmp_path / "lines.xlsx", by_lines)
    sheet = load_workbook(tmp_path / "lines.xlsx")["First"]
    assert [cell.value for cell in sheet[5]] == ["=1+1", "-5 mm", 2.5, datetime(2031, 4, 2), "@home"]
    assert sheet["A5"].data_type == "s"
    assert sheet["A5"].quotePrefix


def test_a_value_that_no_list_has_is_refused(tmp_path):
    _, sheet = new_workbook("First", "Lists")
    for value in (True, datetime(2031, 4, 2, 12), b"bytes"):
        with pytest.raises(TypeError, match="a line holds text"):
            Lines(sheet).add(1, [(value, "")])


def test_lines_come_one_below_the_other(tmp_path):
    _, sheet = new_workbook("First", "Lists")
    lines = Lines(sheet)
    lines.add(4, [("a", "")])
    with pytest.raises(ValueError, match="row 4"):
        lines.add(4, [("b", "")])


def test_a_workbook_is_let_go_of_with_its_lines():
    """Whether or not it was saved; a process may make many."""
    workbook, sheet = new_workbook("First", "Lists")
    widths(sheet, (9, 12))
    title(sheet, 1, "A list")
    Lines(sheet).add(3, (("a", ""), (1, "0")))
    seen = weakref.ref(sheet)
    del workbook, sheet
    gc.collect()
    assert seen() is None


def test_a_full_disk_is_told_once_and_nothing_stays_open():
    class Full(BytesIO):
        def write(self, _content):
            raise OSError(errno.ENOSPC, "no room")

    _, sheet = new_workbook("First", "Lists")
    lines = Lines(sheet)
    lines.close()
    lines._text = Full()
    with pytest.raises(OSError, match="no room"):
        lines.add(3, (("a", ""),), fitted=False)
    assert lines._text.closed
