"""The small table in which a fitter writes where the wires of each section really stand."""

from __future__ import annotations

from openpyxl import Workbook
from openpyxl.utils import absolute_coordinate, get_column_letter, quote_sheetname
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.worksheet import Worksheet

from railwright.shop.sheet_look import put
from railwright.survey.confirmed import wires_name
from railwright.writing import blank_look as look

#: Rows of the table; no section of a grand has more wires (common practice, no source).
ROWS = 40

_HELP = (
    "At fitting: where each wire of a section stands, measured along the rail with one tape from any one place, the "
    "bass first. One section is enough; leave the rest empty. The shop learns its usual spacing from it."
)


def add_wire_table(workbook: Workbook, page: Worksheet, sections: int, row: int, column: int) -> None:
    """Add the table with its named columns.

    Args:
        workbook: gets the defined names.
        page: the sheet.
        sections: how many columns.
        row: first row of the table, its title.
        column: first column, the wires' numbers.
    """
    look.as_title(put(page, row, column, "Wires at fitting"))
    look.as_small_print(put(page, row + 1, column, _HELP))
    page.merge_cells(start_row=row + 1, start_column=column, end_row=row + 1, end_column=column + max(sections, 6))
    page.row_dimensions[row + 1].height = 40
    first, last = row + 3, row + 2 + ROWS
    look.as_heading(put(page, first - 1, column, "Wire"))
    for section in range(1, sections + 1):
        letter = get_column_letter(column + section)
        look.as_heading(put(page, first - 1, column + section, f"Section {section}"), centred=True)
        area = absolute_coordinate(f"{letter}{first}:{letter}{last}")
        name = wires_name(section)
        workbook.defined_names[name] = DefinedName(name, attr_text=f"{quote_sheetname(page.title)}!{area}")
        for line in range(first, last + 1):
            page.cell(line, column + section).number_format = "@"
    for number in range(1, ROWS + 1):
        put(page, first + number - 1, column, number)
