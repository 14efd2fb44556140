"""Writing a shop book as a workbook that a person edits."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

from openpyxl.styles import Alignment, Font, PatternFill, Protection
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from railwright.book.default_catalogue import DEFAULT_NAME
from railwright.book.model import ShopBook
from railwright.book.parameters import PARAMETERS
from railwright.shop.book_columns import (
    HEADING_ROW,
    NAME_GROUP,
    NAME_KEY,
    RULES_HEADINGS,
    RULES_SHEET,
    RULES_WIDTHS,
    TABLES,
    Column,
    Table,
)
from railwright.shop.sheet_look import (
    QUIET,
    Value,
    add_sheet,
    fit_height,
    hairline,
    headings,
    new_workbook,
    print_setup,
    put,
    widths,
)
from railwright.shop.workbook_file import save_workbook

_INPUT = PatternFill("solid", fgColor="FFFBE8")
#: Dropdowns reach this far below the last line, so that new lines get them too.
_SPARE_ROWS = 200
_ABOUT_NAME = "Printed on every sheet and in the results; left empty, the name of this file."


def write_shop_book(path: Path, book: ShopBook) -> None:
    """Write a shop book that reads back as the very same shop book.

    Args:
        path: the workbook to write.
        book: the shop book.
    """
    workbook, rules = new_workbook(RULES_SHEET, _title(book))
    _write_rules(rules, book)
    records = (book.carriers, book.felts, book.hardware, book.stock)
    for table, lines in zip(TABLES, records, strict=True):
        write_table(add_sheet(workbook, table.sheet), table, lines)
    save_workbook(workbook, path)


def _own_name(book: ShopBook) -> str:
    """Give the name that a book carries; the default book has none, so that what is made of it takes its file's."""
    return "" if book.name == DEFAULT_NAME else book.name


def _title(book: ShopBook) -> str:
    return f"Shop book {_own_name(book)}".strip()


def _write_rules(sheet: Worksheet, book: ShopBook) -> None:
    headings(sheet, HEADING_ROW, RULES_HEADINGS, {"Value"})
    widths(sheet, RULES_WIDTHS)
    _rule_row(sheet, HEADING_ROW + 1, (NAME_GROUP, NAME_KEY, _own_name(book), "", _ABOUT_NAME))
    before = NAME_GROUP
    for row, parameter in enumerate(PARAMETERS, start=HEADING_ROW + 2):
        value = book.rules[parameter.key]
        if parameter.group != before:
            hairline(sheet, row - 1, len(RULES_HEADINGS))
            before = parameter.group
        _rule_row(sheet, row, (parameter.group, parameter.key, value, parameter.unit, parameter.why))
    sheet.freeze_panes = f"C{HEADING_ROW + 1}"
    print_setup(sheet, HEADING_ROW, f"{_title(book)}: rules", landscape=True)


def _rule_row(sheet: Worksheet, row: int, values: tuple[str, str, float | str, str, str]) -> None:
    for column, value in enumerate(values, start=1):
        cell = put(sheet, row, column, value, "General")
        if column in {1, 4, 5}:
            cell.font = Font(name="Calibri", size=10, color=QUIET)
        cell.alignment = Alignment(
            "right" if column == 3 else "left", "top", wrap_text=column == 5, indent=int(column > 3)
        )
    fit_height(sheet, row)
    sheet.cell(row, 3).fill = _INPUT
    sheet.cell(row, 3).protection = Protection(locked=False)


def _shown(line: object, column: Column) -> Value:
    """Give what a cell shows for one attribute of a record."""
    value = getattr(line, column.attribute)
    if column.kind == "yes":
        return "yes" if value else None
    if isinstance(value, Decimal | float | int | str):
        return value
    return None


def write_table(sheet: Worksheet, table: Table, lines: Sequence[object]) -> None:
    """Write one sheet of records as the reader wants it.

    Args:
        sheet: an empty sheet.
        table: the declared columns.
        lines: the records; each has the columns' attributes.
    """
    rows = [[_shown(line, column) for column in table.columns] for line in lines]
    numbers = {column.heading for column in table.columns if column.kind not in {"text", "choice", "yes"}}
    headings(sheet, HEADING_ROW, [column.heading for column in table.columns], numbers)
    widths(sheet, [column.width for column in table.columns])
    fit_height(sheet, HEADING_ROW)
    for number, row in enumerate(rows, start=HEADING_ROW + 1):
        for position, (column, value) in enumerate(zip(table.columns, row, strict=True), start=1):
            put(sheet, number, position, value, column.number_format)
        hairline(sheet, number, len(table.columns))
    for position, column in enumerate(table.columns, start=1):
        _guide(sheet, position, column, HEADING_ROW + len(rows) + _SPARE_ROWS)
    sheet.freeze_panes = f"B{HEADING_ROW + 1}"
    last = get_column_letter(len(table.columns))
    sheet.auto_filter.ref = f"A{HEADING_ROW}:{last}{max(HEADING_ROW + len(rows), HEADING_ROW + 1)}"
    print_setup(sheet, HEADING_ROW, table.about, landscape=True)


def _guide(sheet: Worksheet, position: int, column: Column, last_row: int) -> None:
    """Attach a column's help, and its dropdown where there is a choice."""
    if column.choices:
        rule = DataValidation(
            type="list", formula1='"' + ",".join(column.choices) + '"', allow_blank=not column.required
        )
        rule.showErrorMessage = True
        rule.error = "One of: " + ", ".join(column.choices)
    else:
        rule = DataValidation(allow_blank=True)
    rule.showInputMessage = True
    rule.promptTitle, rule.prompt = column.heading, column.help
    letter = get_column_letter(position)
    rule.add(f"{letter}{HEADING_ROW + 1}:{letter}{last_row}")
    sheet.add_data_validation(rule)
