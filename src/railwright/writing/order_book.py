"""The parts order as a workbook: one line an item, a sheet a supplier group, needs by day, kits by instrument."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from decimal import Decimal
from pathlib import Path

from openpyxl.worksheet.worksheet import Worksheet

from railwright.shop.order_model import OrderLine
from railwright.shop.sheet_lines import Entry, Lines
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
    total_line,
    widths,
)
from railwright.shop.workbook_file import save_workbook
from railwright.writing.confirming import TO_CONFIRM, is_unconfirmed, unconfirmed_orders, unconfirmed_words
from railwright.writing.item_names import item_names
from railwright.writing.numbers import several
from railwright.writing.order_days import write_days
from railwright.writing.order_words import DAY, MONEY, item_words, orders_words, quantity_format
from railwright.writing.week import Instrument, Week

_HEADINGS = (
    "Done",
    "Item",
    "Name",
    "Need",
    "On hand",
    "Buy",
    "Unit",
    "Packs",
    "Pack of",
    "Cost",
    "Needed by",
    "For orders",
    "Supplier",
)
_WIDTHS = (6, 10, 38, 8, 8, 8, 8, 6, 7, 10, 11, 26, 11)
_NUMBERS = frozenset({"Need", "On hand", "Buy", "Packs", "Pack of", "Cost", "Needed by", "Quantity"})
_KIT_HEADINGS = ("Packed", "Order", "Site", "Needed by", "Item", "Name", "Quantity", "Unit")
_KIT_WIDTHS = (8, 14, 26, 11, 10, 34, 10, 9)
_HEADING_ROW = 4


def write_order_book(week: Week, path: Path) -> None:
    """Write the parts order of a run.

    Amounts are written as values, not as formulas, so that they show in every viewer.

    Args:
        week: the run.
        path: the workbook to write.
    """
    workbook, sheet = new_workbook("Order", "Parts order")
    _write_lines(sheet, "Parts order", week.order, week)
    for supplier in _suppliers(week.order):
        lines = [line for line in week.order if line.supplier == supplier and line.packs]
        name = supplier or "no supplier named"
        _write_lines(add_sheet(workbook, f"Buy {name}"), f"To buy: {name}", lines, week)
    write_days(add_sheet(workbook, "By day"), week.order, item_names(week.book), unconfirmed_orders(week))
    _write_kits(add_sheet(workbook, "By instrument"), week)
    save_workbook(workbook, path)


def _suppliers(lines: Sequence[OrderLine]) -> list[str]:
    """List the supplier groups that something is bought from; the unnamed one only beside named ones."""
    groups = sorted({line.supplier for line in lines if line.packs})
    return [] if groups == [""] else groups


def order_total(lines: Sequence[OrderLine]) -> Decimal:
    """Sum the cost of all lines that have one."""
    return sum((line.cost for line in lines if line.cost is not None), Decimal(0))


def without_price(line: OrderLine) -> bool:
    """Tell whether something is missing that the shop book has no price for."""
    return line.cost is None and line.need > line.on_hand


def _write_lines(sheet: Worksheet, heading: str, lines: Sequence[OrderLine], week: Week) -> None:
    widths(sheet, _WIDTHS)
    title(sheet, 1, heading)
    remark(sheet, 2, _about(week), len(_HEADINGS))
    headings(sheet, _HEADING_ROW, _HEADINGS, _NUMBERS)
    row, names, unconfirmed = _HEADING_ROW, item_names(week.book), unconfirmed_orders(week)
    for line in lines:
        row += 1
        _write_line(sheet, row, line, names, unconfirmed)
    row += 1
    currency = week.book.text("currency")
    put(sheet, row, 3, f"Total, {currency}" if currency else "Total")
    put(sheet, row, 10, order_total(lines), MONEY)
    total_line(sheet, row, len(_HEADINGS))
    for note in _notes(lines, week):
        row += 1
        remark(sheet, row, note, len(_HEADINGS))
    sheet.freeze_panes = f"D{_HEADING_ROW + 1}"
    print_setup(sheet, _HEADING_ROW, f"{heading} - shop book {week.book.name}", landscape=True)


def _about(week: Week) -> str:
    made = sum(instrument.made for instrument in week.instruments)
    currency = week.book.text("currency")
    costs = f"; costs in {currency}" if currency else ""
    return (
        f"For {several(made, 'instrument')}; shop book {week.book.name}{costs}. "
        f"Bars and sheets come from the cutting plan. {unconfirmed_words(week)}"
    ).rstrip()


def _notes(lines: Sequence[OrderLine], week: Week) -> list[str]:
    unpriced = [line.item for line in lines if without_price(line)]
    missing = [f"{item}: no price in the shop book; it is not in the total." for item in unpriced]
    told = [*week.notes, *(week.ledger.notes if week.ledger else ())]
    return missing + (told if lines is week.order else [])


def _write_line(
    sheet: Worksheet, row: int, line: OrderLine, names: dict[str, str], unconfirmed: Collection[str]
) -> None:
    values: tuple[tuple[Value, str], ...] = (
        ("☐" if line.packs or without_price(line) else "", ""),
        (line.buy_item, ""),
        (item_words(line, names), ""),
        (line.need, quantity_format(line.need)),
        (line.on_hand, quantity_format(line.on_hand)),
        (line.buy, quantity_format(line.buy)),
        (line.unit, ""),
        (line.packs, "0"),
        (line.pack, "#,##0"),
        ("no price" if without_price(line) else line.cost or Decimal(0), MONEY),
        (line.needed_by, DAY),
        (orders_words(line.orders, unconfirmed), ""),
        (line.supplier, ""),
    )
    for column, (value, number_format) in enumerate(values, start=1):
        put(sheet, row, column, value, number_format)
    fit_height(sheet, row)
    hairline(sheet, row, len(values))


def _write_kits(sheet: Worksheet, week: Week) -> None:
    widths(sheet, _KIT_WIDTHS)
    title(sheet, 1, "Kits by instrument")
    remark(
        sheet,
        2,
        f"Bars and felt in mm of finished pieces, cut as the cutting list says. {unconfirmed_words(week)}".rstrip(),
        8,
    )
    headings(sheet, _HEADING_ROW, _KIT_HEADINGS, _NUMBERS)
    row, names = _HEADING_ROW, item_names(week.book)
    kits = Lines(sheet)
    for instrument in week.instruments:
        if instrument.made:
            lines = list(_kit_lines(instrument, names))
            for left, values in zip(reversed(range(len(lines))), lines, strict=True):
                row += 1
                kits.add(row, [_kit_entry(column, value) for column, value in enumerate(values)], ruled=left == 0)
    sheet.freeze_panes = f"A{_HEADING_ROW + 1}"
    print_setup(sheet, _HEADING_ROW, "Kits by instrument")


def _kit_lines(instrument: Instrument, names: dict[str, str]) -> Iterator[tuple[Value, ...]]:
    survey = instrument.survey
    site, day = (survey.site or "") if survey else "", instrument.needed_by
    order = f"{instrument.order_no} {TO_CONFIRM}" if is_unconfirmed(instrument) else instrument.order_no
    for part in instrument.parts if instrument.added is None else instrument.added:
        quantity = Decimal(str(part.quantity))
        yield ("☐", order, site, day, part.item, names.get(part.item, ""), quantity, part.unit)


def _kit_entry(column: int, value: Value) -> Entry:
    if isinstance(value, Decimal):
        return value, quantity_format(value)
    return value, DAY if _KIT_HEADINGS[column] == "Needed by" else ""
