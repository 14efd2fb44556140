"""The shelf after the week as a workbook, whose Stock sheet can start the next week; the shop's own stays as it is."""

from __future__ import annotations

from pathlib import Path

from openpyxl.worksheet.worksheet import Worksheet

from railwright.book.model import StockLine
from railwright.shop.book_columns import STOCK
from railwright.shop.book_writing import write_table
from railwright.shop.sheet_look import (
    Value,
    add_sheet,
    fit_height,
    hairline,
    headings,
    new_workbook,
    print_setup,
    put,
    remark,
    title,
    widths,
)
from railwright.shop.stock_after import Movement, StockAfter, stock_after
from railwright.shop.workbook_file import save_workbook
from railwright.writing.item_names import item_names
from railwright.writing.numbers import plain
from railwright.writing.week import Week

_HEADINGS = ("Item", "Name", "Size mm", "Rack", "Unit", "On hand before", "Bought", "Used", "On hand after", "Remark")
_WIDTHS = (10, 38, 15, 10, 9, 10, 10, 10, 10, 30)
_NUMBERS = frozenset({"On hand before", "Bought", "Used", "On hand after"})
_HEADING_ROW = 5


def write_stock_after(week: Week, path: Path) -> None:
    """Write the shelf as it stands after the week.

    Args:
        week: the run; everything it orders is taken as bought, and everything it plans as cut and fitted.
        path: the workbook to write: the sheet Stock with the columns of a shop book, and a sheet of what changed.
    """
    after = stock_after(week.book, week.cutting, week.order)
    workbook, sheet = new_workbook(STOCK.sheet, "Stock after the week")
    write_table(sheet, STOCK, after.lines)
    _write_changes(add_sheet(workbook, "What changed"), after, week)
    save_workbook(workbook, path)


def _write_changes(sheet: Worksheet, after: StockAfter, week: Week) -> None:
    widths(sheet, _WIDTHS)
    title(sheet, 1, "What changed")
    remark(sheet, 2, f"{_ABOUT} {_NEXT_WITH_LEDGER if week.ledger else _NEXT}", len(_HEADINGS))
    remark(sheet, 3, keep_words(week), len(_HEADINGS))
    headings(sheet, _HEADING_ROW, _HEADINGS, _NUMBERS)
    fit_height(sheet, _HEADING_ROW)
    names = item_names(week.book)
    row = _HEADING_ROW
    for values in (*map(_moved, _changed(after)), *map(_new, after.new_offcuts)):
        row += 1
        item, *rest = values
        for column, value in enumerate((item, names.get(str(item), ""), *rest), start=1):
            put(sheet, row, column, value, "#,##0" if isinstance(value, int) else "")
        fit_height(sheet, row)
        hairline(sheet, row, len(_HEADINGS))
    if row == _HEADING_ROW:
        remark(sheet, row + 1, "Nothing: the week neither buys nor cuts.", len(_HEADINGS))
    sheet.freeze_panes = f"A{_HEADING_ROW + 1}"
    print_setup(sheet, _HEADING_ROW, f"Stock after the week - shop book {week.book.name}", landscape=True)


_ABOUT = (
    "The shelf when everything in the parts order is bought and everything in the cutting list is cut and fitted. The "
    "shop book was not changed."
)
_NEXT = "To start the next week from here, put the sheet Stock in the place of the shop book's."
_NEXT_WITH_LEDGER = "The ledger goes on from here by itself; leave the shop book's sheet Stock as it is."


def keep_words(week: Week) -> str:
    """Say what of the rests is kept, and where that can be changed."""
    length, width = (plain(week.book.value(key)) for key in ("offcut_keep", "felt_keep_width"))
    return (
        f"Kept are rests from {length} mm long (offcut_keep), of felt from {width} mm wide too (felt_keep_width); the "
        "Rules sheet of the shop book has both. Mark each rest with its label. Of mm and g whole ones are counted; of "
        "cable only the longest rest counts, as shorter ends are waste."
    )


def _changed(after: StockAfter) -> list[Movement]:
    return [movement for movement in after.movements if movement.bought or movement.used]


def _moved(movement: Movement) -> tuple[Value, ...]:
    line = movement.line
    gone = line.offcut and not movement.after
    amounts = (movement.before, movement.bought, movement.used, movement.after)
    return (line.item, size_words(line), line.rack, line.unit, *amounts, "offcut used up" if gone else "")


def _new(line: StockLine) -> tuple[Value, ...]:
    return (line.item, size_words(line), line.rack, line.unit, None, None, None, line.on_hand, "new offcut: mark it so")


def size_words(line: StockLine) -> str:
    """Give a bar's length or a sheet's length and width; nothing for packed parts."""
    return " x ".join(plain(size, 2) for size in (line.length_mm, line.width_mm) if size)
