"""Long lists in a workbook: every finished line is kept as the XML that it becomes, not as cells.

The library holds some hundred bytes a cell until a workbook is saved; a week of thousands of instruments has hundreds
of thousands of cells. The lines look as ``sheet_look.put``, ``hairline`` and ``fit_height`` make them.
"""

from __future__ import annotations

import math
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import suppress
from datetime import date
from decimal import Decimal
from typing import IO, Any
from weakref import WeakKeyDictionary, ref

from openpyxl.cell.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.utils.datetime import to_excel
from openpyxl.worksheet.worksheet import Worksheet

from railwright.shop.sheet_look import LETTER_WIDTH, LINE_HEIGHT, Value, fill, lines_of, printable, underline

#: So much of a list stays in memory; the rest goes to a temporary file.
_IN_MEMORY = 256 * 1024
_PIECE = 64 * 1024

#: A line's value and its number format, which is empty for the program's own way.
Entry = tuple[Value, str]


class Lines:
    """The lines of one sheet, which has a heading in plain cells and is saved once.

    They are final: no cell above the last of them may be written or dressed any more.
    """

    def __init__(self, sheet: Worksheet) -> None:
        """Begin a list.

        Args:
            sheet: a sheet whose columns have their widths and whose rows above the list are finished, as are all
                sheets before it.
        """
        assert sheet.parent is not None
        self._to_sheet = ref(sheet)  # a table finds the lines by their sheet, and must let go of both together
        self._styles: dict[tuple[Any, ...], str] = {}
        letters = [get_column_letter(column) for column in range(1, len(sheet.column_dimensions) + 1)]
        self._rooms = [sheet.column_dimensions[letter].width - (place > 0) for place, letter in enumerate(letters)]
        self._text: IO[bytes] = tempfile.SpooledTemporaryFile(_IN_MEMORY)  # noqa: SIM115 - closed by who saves
        #: By the first row of each unbroken block of lines: where its text begins.
        self.blocks: dict[int, int] = {}
        self.last_row, self.last_column = 0, 0
        _lines.setdefault(sheet, self)

    def add(self, row: int, entries: Sequence[Entry], *, ruled: bool = False, fitted: bool = True) -> None:
        """Write one line.

        Args:
            row: from 1; below all lines before.
            entries: the values from the first column on, each with its number format.
            ruled: draw a thin line under it.
            fitted: make it as tall as its tallest text; else the program shows it as it likes.

        Raises:
            OSError: there is no room for a temporary file.
            TypeError: a value is no text, number (int, float, Decimal) or day.
            ValueError: the row is not below the last one.
        """
        if row <= self.last_row:
            raise ValueError(f"row {row} is not below the last line, {self.last_row}")
        if row != self.last_row + 1 or not self.blocks:
            self._settle_styles()
            self.blocks[row] = self._text.tell()
        cells = [self._cell(row, column, value, look, ruled) for column, (value, look) in enumerate(entries, start=1)]
        height = f' ht="{self._height(entries):.16g}" customHeight="1"' if fitted else ""
        text = f'<row r="{row}"{height}>{"".join(cells)}</row>'
        try:
            self._text.write(text.encode("ascii", "xmlcharrefreplace"))
        except OSError:
            with suppress(OSError):  # what is left to write has no room either
                self._text.close()
            raise
        self.last_row = row
        self.last_column = max(self.last_column, len(entries), len(self._rooms) if fitted else 0)

    def text_of(self, first_row: int) -> Iterator[bytes]:
        """Give the XML of a block of lines, piece by piece."""
        starts = [*self.blocks.values(), self._text.seek(0, 2)]
        place = list(self.blocks).index(first_row)
        self._text.seek(starts[place])
        left = starts[place + 1] - starts[place]
        while left > 0:
            piece = self._text.read(min(left, _PIECE))
            left -= len(piece)
            yield piece

    def close(self) -> None:
        """Let go of the text."""
        self._text.close()

    @property
    def _sheet(self) -> Worksheet:
        sheet = self._to_sheet()
        assert sheet is not None, "lines are written while their sheet is there"
        return sheet

    def _cell(self, row: int, column: int, value: Value, number_format: str, ruled: bool) -> str:
        kind = type(value)
        if isinstance(value, str) and value:
            text = printable(value)
            kind_of_text = (text[:1] in "=+-@", column == 1)
            style = self._style(row, column, value, (str, number_format, ruled, *kind_of_text))
            space = ' xml:space="preserve"' if text != text.strip() else ""
            content = f"<is><t{space}>{_escaped(text)}</t></is>"
            return f'<c r="{_letter(column)}{row}" s="{style}" t="inlineStr">{content}</c>'
        if kind not in _NUMBERS:
            raise TypeError(f"a line holds text, numbers and days, not {kind.__name__}")
        style = self._style(row, column, value, (_NUMBERS[kind], number_format, ruled, kind is str and column == 1))
        return f'<c r="{_letter(column)}{row}" s="{style}" t="n">{_figures(value)}</c>'

    def _style(self, row: int, column: int, value: Value, look: tuple[Any, ...]) -> str:
        """Give the number of a look in the workbook; a cell that is in no sheet shows what the look comes to."""
        if look not in self._styles:
            cell = Cell(self._sheet, row, column)
            fill(cell, value, look[1])
            if look[2]:
                underline(cell)
            self._styles[look] = str(cell.style_id)
        return self._styles[look]

    def _height(self, entries: Sequence[Entry]) -> float:
        lines = 1
        for (value, _), room in zip(entries, self._rooms, strict=False):
            if isinstance(value, str) and (len(value) * LETTER_WIDTH > room or "\n" in value):
                lines = max(lines, lines_of(printable(value), room))
        return LINE_HEIGHT * lines

    def _settle_styles(self) -> None:
        """Number the looks of everything before the lines, as the library does when it writes sheet after sheet."""
        assert self._sheet.parent is not None
        sheets: list[Any] = self._sheet.parent.worksheets
        for sheet in sheets[: sheets.index(self._sheet) + 1]:
            for _, cell in sorted(sheet._cells.items()):
                if cell.has_style:
                    cell.style_id  # noqa: B018 - asking for the number gives it


_lines: WeakKeyDictionary[Worksheet, Lines] = WeakKeyDictionary()


def lines_in(sheet: Worksheet) -> Lines | None:
    """Give the lines that were written to a sheet, if any."""
    return _lines.get(sheet)


#: What stands for each type of value in the name of a look; a day brings a format of its own.
_NUMBERS: dict[type, str] = {
    str: "empty text",
    type(None): "number",
    int: "number",
    float: "number",
    Decimal: "number",
    date: "day",
}


def _figures(value: Value) -> str:
    if value is None or value == "":
        return ""
    number = float(to_excel(value) if isinstance(value, date) else value)  # type: ignore[no-untyped-call]
    return f"<v>{number:.16g}</v>" if math.isfinite(number) else "<v></v>"


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace("\r", "&#13;")


_letters = [get_column_letter(column) for column in range(1, 27)]


def _letter(column: int) -> str:
    return _letters[column - 1] if column <= len(_letters) else get_column_letter(column)
