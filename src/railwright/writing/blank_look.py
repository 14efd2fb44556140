"""How the blank survey looks: fonts, fills, borders and measures, plain and readable in print and on a screen."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.utils.indexed_list import IndexedList

from railwright.shop.sheet_look import INK, QUIET
from railwright.survey.fields import Field
from railwright.writing.drawings.row_pictures import row_picture
from railwright.writing.drawings.survey_pictures import PICTURE_OF

FONT = "Arial"
_LINE = "8A969D"
_HEAD = PatternFill("solid", fgColor="3C4C55")
_BAND = PatternFill("solid", fgColor="DDE3E6")
# red, amber and blue are left to the flags that the office puts on an answer
_NEEDED = PatternFill("solid", fgColor="E6F0E2")
_RESULT = PatternFill("solid", fgColor="F1F4F5")
_OPTIONAL = PatternFill("solid", fgColor="FFFFFF")
_THIN, _STRONG = Side("thin", color=_LINE), Side("medium", color=INK)

#: Widths in characters of the standard font, chosen so that six sections still print readably on one upright page.
LABEL_WIDTH, PICTURE_WIDTH, HELP_WIDTH, REMARK_WIDTH = 25, 15, 52, 33
ALL_SECTIONS_WIDTH, NARROWEST_SECTION = 46, 9

#: What that is on a screen and, unscaled, on paper: 7 dots a figure and 5 for the edges, 96 to an inch.
PICTURE_WIDTH_MM = (7 * PICTURE_WIDTH + 5) * 25.4 / 96.0

#: A row is at least 5 mm high when one page holds the sheet, so that a pencil finds room; a small picture needs more.
RESULT_HEIGHT = 16.0
#: A row of results that says more than one word; the narrowest column breaks it over so many lines.
WORDY_RESULT_HEIGHT = 40.0
_LEAST_HEIGHT, _PICTURE_HEIGHT, _LINE_HEIGHT, _MARGIN = 22.0, 28.0, 12.0, 3.0
_HELP_SIGNS_A_LINE, _LABEL_SIGNS_A_LINE = 66, 28
_FREE_TEXT_LINES = 5


@dataclass(frozen=True, slots=True)
class Columns:
    """Which column holds what, counted from 1, for a number of sections."""

    sections: int

    label = 1
    first = 2

    @property
    def last(self) -> int:
        """Give the column of the last section."""
        return self.first + self.sections - 1

    @property
    def picture(self) -> int:
        """Give the column of the small pictures."""
        return self.last + 1

    @property
    def help(self) -> int:
        """Give the column of the help texts."""
        return self.last + 2

    @property
    def remark(self) -> int:
        """Give the column where the office writes what to look at again."""
        return self.last + 3

    def widths(self) -> list[float]:
        """Give the widths of all columns in characters."""
        section = max(NARROWEST_SECTION, ALL_SECTIONS_WIDTH / self.sections)
        return [LABEL_WIDTH, *[section] * self.sections, PICTURE_WIDTH, HELP_WIDTH, REMARK_WIDTH]


def measure_columns_in(workbook: Workbook) -> None:
    """Measure columns in figures of a font that every office program has, or has one as wide for.

    A program without the library's own font would take a wider one, and the page would be printed smaller.
    """
    workbook._fonts = IndexedList([Font(name=FONT, size=10)])  # type: ignore[attr-defined]


def mark_of(field: Field) -> str:
    """Give the sign behind a label: needed always, needed sometimes, or nothing."""
    if not field.required:
        return ""
    return " (*)" if field.required_when else " *"


def help_of(field: Field) -> str:
    """Give the help of a field with the case in which it is needed and the number of the picture that shows it."""
    needed = f" Needed if {field.required_when}." if field.required_when else ""
    number = PICTURE_OF.get(reading_of(field))
    picture = f" Larger:\u00a0picture\u00a0{number}." if number else ""
    return f"{field.help}{needed}{picture}"


def reading_of(field: Field) -> str:
    """Give a field's key without its section."""
    return field.key.split("_", 1)[1] if field.scope == "section" else field.key


def row_height(field: Field) -> float:
    """Give a row the height that its texts need, in points."""
    lines = max(ceil(len(help_of(field)) / _HELP_SIGNS_A_LINE), ceil((len(field.label) + 4) / _LABEL_SIGNS_A_LINE))
    if field.kind == "text" and not field.required:
        lines = max(lines, _FREE_TEXT_LINES)
    least = _PICTURE_HEIGHT if row_picture(reading_of(field)) else _LEAST_HEIGHT
    return max(least, lines * _LINE_HEIGHT + _MARGIN)


def as_title(cell: Cell) -> None:
    """Dress the title of a sheet."""
    cell.font = Font(name=FONT, size=15, bold=True, color=INK)
    cell.alignment = Alignment(horizontal="left", vertical="center", indent=1)


def as_small_print(cell: Cell) -> None:
    """Dress a line of explanation."""
    cell.font = Font(name=FONT, size=9.5, color=QUIET)
    cell.alignment = Alignment(horizontal="left", vertical="center", wrap_text=True, indent=1)


def as_picture_ground(cell: Cell, starts_group: bool) -> None:
    """Dress the cell that a small picture lies in."""
    cell.border = Border(top=_STRONG if starts_group else _THIN, bottom=_THIN)


def as_heading(cell: Cell, centred: bool = False) -> None:
    """Dress a column heading."""
    cell.font = Font(name=FONT, size=10, bold=True, color="FFFFFF")
    cell.fill = _HEAD
    cell.alignment = Alignment(
        horizontal="center" if centred else "left", vertical="center", wrap_text=True, indent=0 if centred else 1
    )


def as_band(cell: Cell) -> None:
    """Dress the line that opens a group of rows."""
    cell.font = Font(name=FONT, size=10, bold=True, color=INK)
    cell.fill = _BAND
    cell.alignment = Alignment(horizontal="left", vertical="center", indent=1)


def as_label(cell: Cell, needed: bool, starts_group: bool) -> None:
    """Dress a row's label; a needed answer has a bold one."""
    cell.font = Font(name=FONT, size=10, bold=needed, color=INK)
    cell.alignment = Alignment(horizontal="left", vertical="center", wrap_text=True, indent=1)
    cell.border = Border(top=_STRONG if starts_group else _THIN, bottom=_THIN)


def as_help(cell: Cell, starts_group: bool) -> None:
    """Dress a row's help."""
    as_small_print(cell)
    cell.border = Border(top=_STRONG if starts_group else _THIN, bottom=_THIN)


def as_remark(cell: Cell, starts_group: bool) -> None:
    """Dress the office's cell at the end of a row."""
    cell.font = Font(name=FONT, size=8, color=INK)  # three lines of a remark fit a row
    cell.alignment = Alignment(vertical="top", wrap_text=True)
    cell.border = Border(top=_STRONG if starts_group else _THIN, bottom=_THIN, left=_THIN, right=_THIN)


def as_result(cell: Cell, number_format: str, wordy: bool = False) -> None:
    """Dress a cell that the sheet works out; it is not to be typed over. Several words are set smaller, in lines."""
    cell.number_format = number_format
    cell.font = Font(name=FONT, size=8.5 if wordy else 10, color=INK)
    cell.fill = _RESULT
    cell.alignment = Alignment(horizontal="center", vertical="center", wrap_text=wordy)
    cell.border = Border(top=_THIN, bottom=_THIN, left=_THIN, right=_THIN)


def as_entry(cell: Cell) -> None:
    """Dress a cell of a table to be filled in: open to typing and framed; what is typed stays as it is typed."""
    cell.number_format = "@"
    cell.protection = Protection(locked=False)
    cell.font = Font(name=FONT, size=10, color=INK)
    cell.alignment = Alignment(horizontal="center", vertical="center")
    cell.border = Border(top=_THIN, bottom=_THIN, left=_THIN, right=_THIN)


def as_input(cell: Cell, field: Field, number_format: str, starts_group: bool) -> None:
    """Dress a cell to be filled in: open to typing, framed, and shaded where the answer is needed."""
    cell.number_format = number_format
    cell.protection = Protection(locked=False)
    cell.font = Font(name=FONT, size=11, color=INK)
    cell.fill = _NEEDED if mark_of(field) else _OPTIONAL
    centred = field.scope == "section"
    free_text = field.kind == "text" and not field.required  # as long as somebody cares to write: never cut at its top
    cell.alignment = Alignment(
        horizontal="center" if centred else "left",
        vertical="top" if free_text else "center",
        wrap_text=not centred,
        shrink_to_fit=centred,
        indent=0 if centred else 1,
    )
    cell.border = Border(top=_STRONG if starts_group else _THIN, bottom=_THIN, left=_THIN, right=_THIN)
