"""Reading the sheets of a shop-book workbook into rows of checked cells."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from openpyxl.utils import get_column_letter
from openpyxl.workbook import Workbook

from railwright.shop.book_cells import CellProblem, Read, read_cell, spelled
from railwright.shop.book_columns import HEADING_ROW, Column, Table
from railwright.shop.book_problems import BookProblem

#: No shop keeps more lines than this; a sheet that claims more is not read to its end.
MAX_ROWS = 20_000
_MAX_COLUMNS = 100

Grid = Sequence[tuple[object, ...]]


@dataclass(slots=True)
class Row:
    """One line of a sheet: its row number and the cells that could be read, by attribute."""

    number: int
    cells: dict[str, Read] = field(default_factory=dict)
    complete: bool = True


@dataclass(slots=True)
class Trouble:
    """Collects problems, and notes that stop nothing, while a workbook is read."""

    problems: list[BookProblem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def add(self, sheet: str, cell: str, expected: str, content: object) -> None:
        """Keep one problem about a cell that holds ``content``."""
        self.tell(sheet, cell, expected, spelled(content))

    def tell(self, sheet: str, cell: str, expected: str, found: str) -> None:
        """Keep one problem whose finding is said in words."""
        self.problems.append(BookProblem(sheet, cell, expected, found))


def grid(workbook: Workbook, formulas: Workbook, sheet: str, trouble: Trouble) -> Grid | None:
    """Read a sheet's cells, with formulas that hold no result told apart.

    Args:
        workbook: loaded with results instead of formulas.
        formulas: the same file loaded with its formulas.
        sheet: the sheet's name.
        trouble: where a missing sheet, a sheet too long, or a formula without a result is reported.

    Returns:
        The rows from the first on, or ``None`` when there is no such sheet.
    """
    if sheet not in workbook.sheetnames:
        trouble.tell(sheet, "", f"a sheet named {sheet}", "no such sheet")
        return None
    last_row, last_column = workbook[sheet].max_row, workbook[sheet].max_column
    if last_row > MAX_ROWS:
        trouble.tell(sheet, f"A{MAX_ROWS}", f"at most {MAX_ROWS} lines", f"{last_row} lines")
    size = {"max_row": min(last_row, MAX_ROWS), "max_col": min(last_column, _MAX_COLUMNS)}
    rows: Grid = list(workbook[sheet].iter_rows(values_only=True, **size))
    written = formulas[sheet].iter_rows(values_only=True, **size)
    for number, (results, typed) in enumerate(zip(rows, written, strict=False), start=1):
        for position, (result, content) in enumerate(zip(results, typed, strict=False), start=1):
            if result is None and content is not None:
                cell = f"{get_column_letter(position)}{number}"
                trouble.tell(sheet, cell, "a value", f'a formula without a result, "{content}"; open and save the file')
    return rows


def columns_of(
    sheet: str, wanted: Sequence[str], rows: Grid, trouble: Trouble, spare: Sequence[str] = ()
) -> dict[str, int] | None:
    """Find each heading's column.

    Args:
        sheet: the sheet's name.
        wanted: the headings that are read, in any order.
        rows: the sheet's rows.
        trouble: where missing and repeated headings are reported, and columns that nothing reads are noted.
        spare: those of them that the sheet may lack; that is noted.

    Returns:
        Column positions from 0 by heading, or ``None`` when one is missing.
    """
    first = rows[HEADING_ROW - 1] if rows else ()
    found: dict[str, int] = {}
    for position, content in enumerate(first):
        heading = " ".join(str(content).split()) if content is not None else ""
        cell = f"{get_column_letter(position + 1)}{HEADING_ROW}"
        if heading in found:
            trouble.add(sheet, cell, "every heading once", content)
        elif heading in wanted:
            found[heading] = position
        elif heading:
            trouble.notes.append(f'{sheet}!{cell}: the column "{heading}" is not used.')
    lacking = [heading for heading in wanted if heading not in found]
    if blank := [f'"{heading}"' for heading in lacking if heading in spare]:
        trouble.notes.append(f"{sheet}: no column {', '.join(blank)}; taken as blank.")
    missing = [heading for heading in lacking if heading not in spare]
    for heading in missing:
        trouble.tell(sheet, f"A{HEADING_ROW}", f'a column headed "{heading}"', "no such column")
    return None if missing else found


def table_rows(table: Table, rows: Grid, trouble: Trouble) -> Iterator[Row]:
    """Read the lines of one sheet; lines that are blank all through are passed over.

    Args:
        table: the declared sheet.
        rows: its rows, headings first.
        trouble: where every cell that cannot be read is reported.

    Yields:
        One row a line; ``complete`` is false where a cell could not be read.
    """
    spare = [column.heading for column in table.columns if not column.expected]
    places = columns_of(table.sheet, [column.heading for column in table.columns], rows, trouble, spare)
    if places is None:
        return
    for number, cells in enumerate(rows[HEADING_ROW:], start=HEADING_ROW + 1):
        contents = [_content(cells, places.get(column.heading)) for column in table.columns]
        if any(content is not None and str(content).strip() for content in contents):
            yield _row(table, number, contents, places, trouble)


def _content(cells: tuple[object, ...], place: int | None) -> object:
    return None if place is None else cells[place]


def _row(table: Table, number: int, contents: Sequence[object], places: dict[str, int], trouble: Trouble) -> Row:
    row = Row(number)
    for column, content in zip(table.columns, contents, strict=True):
        try:
            row.cells[column.attribute] = read_cell(column, content)
        except CellProblem as problem:
            row.complete = False
            trouble.add(table.sheet, address(places, column, number), str(problem), content)
    return row


def address(places: dict[str, int], column: Column, number: int) -> str:
    """Give the address of a column's cell in one row."""
    return f"{get_column_letter(places[column.heading] + 1)}{number}"
