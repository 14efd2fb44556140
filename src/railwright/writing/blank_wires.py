"""The small table in which a fitter writes where the wires of each section really stand."""

from __future__ import annotations

from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.utils import absolute_coordinate, get_column_letter, quote_sheetname
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.worksheet import Worksheet

from railwright.shop.sheet_look import put
from railwright.survey.confirmed import wires_name
from railwright.writing import blank_look as look

#: Rows of the table; no section of a grand has more wires (common practice, no source).
ROWS = 40
#: Widths in characters: the wires' numbers, and one section; six of them fit an upright page.
NUMBER_WIDTH, SECTION_WIDTH = 7, 10

_HELP = (
    "At fitting: where each wire of a section stands, measured along the rail with one tape from any one place, the "
    "bass first. One section is enough; leave the rest empty. The shop learns its usual spacing from it."
)
#: Columns that the help runs over, however few sections there are, and the height that its lines need.
_HELP_COLUMNS, _HELP_HEIGHT = 6, 42


def add_wire_table(workbook: Workbook, page: Worksheet, sections: int, row: int, column: int) -> str:
    """Add the table with its named columns.

    Args:
        workbook: gets the defined names.
        page: the sheet.
        sections: how many columns.
        row: first row of the table, its title.
        column: first column, the wires' numbers.

    Returns:
        The cells to be filled in, such as ``E4:H43``.
    """
    _write_headings(page, sections, row, column)
    first, last = row + 3, row + 2 + ROWS
    for number in range(1, ROWS + 1):
        look.as_result(put(page, first + number - 1, column, number), "0")
    for section in range(1, sections + 1):
        for line in range(first, last + 1):
            cell = page.cell(line, column + section)
            assert isinstance(cell, Cell)
            look.as_entry(cell)
        letter, name = get_column_letter(column + section), wires_name(section)
        area = absolute_coordinate(f"{letter}{first}:{letter}{last}")
        workbook.defined_names[name] = DefinedName(name, attr_text=f"{quote_sheetname(page.title)}!{area}")
    return f"{get_column_letter(column + 1)}{first}:{get_column_letter(column + sections)}{last}"


def _write_headings(page: Worksheet, sections: int, row: int, column: int) -> None:
    """Write title, help and column headings."""
    look.as_title(put(page, row, column, "Wires at fitting"))
    look.as_small_print(put(page, row + 1, column, _HELP))
    reach = column + max(sections, _HELP_COLUMNS)
    for one in (row, row + 1):
        page.merge_cells(start_row=one, start_column=column, end_row=one, end_column=reach)
    page.row_dimensions[row + 1].height = _HELP_HEIGHT
    look.as_heading(put(page, row + 2, column, "Wire"))
    for section in range(1, sections + 1):
        look.as_heading(put(page, row + 2, column + section, f"Section {section}"), centred=True)
