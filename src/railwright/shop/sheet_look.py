"""One look for every workbook that the tool writes from scratch, and cells whose text stays text."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Container, Hashable, Sequence
from copy import copy
from datetime import date
from decimal import Decimal
from typing import Any
from weakref import WeakKeyDictionary

from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

INK = "1F2A30"
QUIET = "5B6870"
_PAPER = "EEF1F2"
_LINE = "B9C2C7"

Value = str | int | float | Decimal | date | None

_PLAIN = Font(name="Calibri", size=10, color=INK)
_FIRST_WORDS = Alignment("left", "top", wrap_text=True, indent=0)
_WORDS = Alignment("left", "top", wrap_text=True, indent=1)
_FIGURES = Alignment(None, "top", wrap_text=False, indent=0)
_HEAD_FILL = PatternFill("solid", fgColor=_PAPER)
_RULE_BELOW = Border(bottom=Side("medium", color=INK))
_HAIR_BELOW = Border(bottom=Side("thin", color=_LINE))
_TOTAL_ABOVE = Border(top=Side("medium", color=INK))
#: What XML cannot hold, and half characters; a technician's text may bring them along.
_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_LONGEST_TEXT = 32767
#: Points a line of text is tall, and how wide a letter is on the average, in widths of a figure.
LINE_HEIGHT, LETTER_WIDTH = 13.5, 0.92


def put(sheet: Worksheet, row: int, column: int, value: Value, number_format: str = "") -> Cell:
    """Write one value; text is always data, whatever it starts with.

    A text that begins with ``= + - @`` is stored as a string and marked so that retyping it in an office program does
    not turn it into a formula either.

    Args:
        sheet: where to write.
        row: from 1.
        column: from 1.
        value: text, a number, a day, or ``None`` for an empty cell.
        number_format: how a number or day is shown; empty for the program's own way.

    Returns:
        The cell, for further dressing.
    """
    cell = sheet.cell(row, column)
    assert isinstance(cell, Cell)
    fill(cell, value, number_format)
    return cell


def fill(cell: Cell, value: Value, number_format: str = "") -> None:
    """Write one value into a cell as ``put`` does; see there."""
    if isinstance(value, str) and value:
        cell.value = printable(value)
        cell.data_type = "s"
        if value[:1] in {"=", "+", "-", "@"}:
            cell.quotePrefix = True
    elif value is not None and value != "":
        cell.value = value
    words = (_FIRST_WORDS if cell.column == 1 else _WORDS) if isinstance(value, str) else _FIGURES
    _dress(cell, (number_format, id(words)), lambda cell: _plain(cell, number_format, words))


def printable(text: str) -> str:
    """Give a text as a cell can hold it."""
    return _UNPRINTABLE.sub("\ufffd", text)[:_LONGEST_TEXT]


def _plain(cell: Cell, number_format: str, alignment: Alignment) -> None:
    if number_format:
        cell.number_format = number_format
    cell.font = _PLAIN
    cell.alignment = alignment


#: By workbook, look and former style: the style that came of them.
_styles: WeakKeyDictionary[Workbook, dict[tuple[Hashable, ...], Any]] = WeakKeyDictionary()


def _dress(cell: Any, look: Hashable, dress: Callable[[Any], None]) -> None:
    """Give a cell a look; worked out once a workbook, since the library compares a new style with all it has.

    Args:
        cell: the cell.
        look: what names the look.
        dress: how the look is given to a cell that has none like it yet.
    """
    known = _styles.setdefault(cell.parent.parent, {})
    key = (look, *(cell._style or ()))
    if key in known:
        cell._style = copy(known[key])
    else:
        dress(cell)
        known[key] = copy(cell._style)


def title(sheet: Worksheet, row: int, text: str) -> None:
    """Write a sheet's heading."""
    cell = put(sheet, row, 1, text)
    cell.font = Font(name="Calibri", size=14, bold=True, color=INK)
    cell.alignment = Alignment(vertical="center")
    sheet.row_dimensions[row].height = 22


def remark(sheet: Worksheet, row: int, text: str, columns: int) -> None:
    """Write a line of explanation across several columns, whose widths are set; merged cells never fit themselves."""
    cell = put(sheet, row, 1, text)
    cell.font = Font(name="Calibri", size=10, italic=True, color=QUIET)
    sheet.merge_cells(start_row=row, start_column=1, end_row=row, end_column=columns)
    across = sum(sheet.column_dimensions[get_column_letter(column)].width for column in range(1, columns + 1))
    sheet.row_dimensions[row].height = LINE_HEIGHT * lines_of(text, across)


def headings(sheet: Worksheet, row: int, texts: Sequence[str], numbers: Container[str] = ()) -> None:
    """Write a row of column headings; those over ``numbers`` stand to the right, as the numbers do."""
    for column, text in enumerate(texts, start=1):
        cell = put(sheet, row, column, text)
        cell.font = Font(name="Calibri", size=10, bold=True, color=INK)
        cell.fill = _HEAD_FILL
        cell.border = _RULE_BELOW
        right = text in numbers
        cell.alignment = Alignment(
            "right" if right else "left", "bottom", wrap_text=True, indent=int(column > 1 and not right)
        )


def hairline(sheet: Worksheet, row: int, columns: int) -> None:
    """Draw a thin line under a row."""
    for column in range(1, columns + 1):
        underline(sheet.cell(row, column))


def underline(cell: Any) -> None:
    """Draw a thin line under a cell."""
    _dress(cell, "hairline", _set_underline)


def _set_underline(cell: Any) -> None:
    cell.border = _HAIR_BELOW


def lines_of(text: str, width: float) -> int:
    """Estimate how many lines a text takes in a column so many characters wide."""
    return sum(max(1, math.ceil(len(line) * LETTER_WIDTH / width)) for line in text.split("\n"))


def fit_height(sheet: Worksheet, row: int) -> None:
    """Make a row as tall as its tallest wrapped text; not every office program does so by itself."""
    lines = 1
    # the columns that have a width; to ask the sheet for its last column looks at every cell of it
    for column in range(1, len(sheet.column_dimensions) + 1):
        cell = sheet.cell(row, column)
        if isinstance(cell.value, str) and cell.alignment.wrap_text:
            width = sheet.column_dimensions[get_column_letter(column)].width
            lines = max(lines, lines_of(cell.value, width - cell.alignment.indent))
    sheet.row_dimensions[row].height = LINE_HEIGHT * lines


def total_line(sheet: Worksheet, row: int, columns: int) -> None:
    """Make a row bold with a strong line above it."""
    for column in range(1, columns + 1):
        cell = sheet.cell(row, column)
        cell.border = _TOTAL_ABOVE
        cell.font = Font(name="Calibri", size=10, bold=True, color=INK)


def widths(sheet: Worksheet, sizes: Sequence[float]) -> None:
    """Set column widths, in characters, from the first column on."""
    for column, size in enumerate(sizes, start=1):
        sheet.column_dimensions[get_column_letter(column)].width = size


def print_setup(sheet: Worksheet, heading_row: int, footer: str, landscape: bool = False) -> None:
    """Make a sheet print well on A4 and Letter: one page wide, headings repeated, page numbers below.

    Args:
        sheet: the sheet.
        heading_row: the row of column headings that every page repeats; 0 for none.
        footer: words at the lower left of every page.
        landscape: lay the paper across.
    """
    sheet.page_setup.orientation = "landscape" if landscape else "portrait"
    sheet.page_setup.paperSize = 9  # A4; its narrower measure and Letter's shorter one both hold the page
    sheet.page_setup.fitToWidth = 1
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True  # type: ignore[union-attr]
    margins = sheet.page_margins
    margins.left = margins.right = 0.5
    margins.top, margins.bottom = 0.6, 0.8
    feet = sheet.oddFooter
    assert feet is not None and feet.left is not None and feet.right is not None
    feet.left.text, feet.right.text = footer.replace("&", "&&"), "&P / &N"
    if heading_row:
        sheet.print_title_rows = f"{heading_row}:{heading_row}"


def sheet_title(wanted: str, taken: Sequence[str]) -> str:
    """Make a name that every office program takes for a sheet and that no other sheet bears.

    Args:
        wanted: any text, such as an item code.
        taken: names of the sheets already there.

    Returns:
        At most 31 characters without ``: \\ / ? * [ ]`` or outer apostrophes; numbered when the name is taken.
    """
    clean = re.sub(r"[:\\/?*\[\]]", "-", _UNPRINTABLE.sub("-", wanted)).strip("' ")[:31].strip("' ") or "sheet"
    used = {name.casefold() for name in taken} | {"history"}
    name, count = clean, 1
    while name.casefold() in used:
        count += 1
        name = f"{clean[: 31 - len(str(count)) - 1]} {count}"
    return name


def new_workbook(first_sheet: str, subject: str) -> tuple[Workbook, Worksheet]:
    """Start a workbook with one named sheet."""
    workbook = Workbook()
    workbook.properties.creator = "railwright"
    workbook.properties.title = subject
    sheet = workbook.active
    assert isinstance(sheet, Worksheet)
    sheet.title = first_sheet
    return workbook, sheet


def add_sheet(workbook: Workbook, wanted: str) -> Worksheet:
    """Add a sheet under a name that every office program takes."""
    sheet = workbook.create_sheet(sheet_title(wanted, workbook.sheetnames))
    assert isinstance(sheet, Worksheet)
    return sheet
