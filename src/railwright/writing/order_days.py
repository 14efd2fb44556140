"""The sheet "By day" of the parts order: what of each item is wanted by which day, with a running total."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from openpyxl.styles import Alignment
from openpyxl.worksheet.worksheet import Worksheet

from railwright.shop.order_model import DayNeed, OrderLine
from railwright.shop.sheet_look import Value, fit_height, hairline, headings, print_setup, put, remark, title, widths
from railwright.writing.order_words import DAY, item_words, orders_words, quantity_format

_HEADINGS = ("Needed by", "Item", "Name", "Need", "Running total", "On hand", "To have bought", "Unit", "For orders")
_WIDTHS = (12, 10, 40, 9, 10, 9, 10, 9, 32)
_NUMBERS = frozenset({"Need", "Running total", "On hand", "To have bought"})
_HEADING_ROW = 4
_ABOUT = (
    "Earliest day first. The running total counts all days so far; what the shelf does not cover of it must have been "
    "bought by then. A bar or sheet is wanted by the earliest day of the pieces on it."
)


@dataclass(frozen=True, slots=True)
class DayLine:
    """One item on one day: the need of that day, of all days so far, and what of it the shelf does not cover."""

    line: OrderLine
    need: DayNeed
    running: Decimal

    @property
    def to_have_bought(self) -> Decimal:
        """What must have been bought by that day, in the line's unit."""
        return max(Decimal(0), self.running - self.line.on_hand)


def day_lines(order: Sequence[OrderLine]) -> Iterator[tuple[date | None, list[DayLine]]]:
    """Turn order lines with their days into days with their items.

    Args:
        order: lines by item.

    Yields:
        Each day with its items in the order's order, earliest first; needs without a day come last, under ``None``.
    """
    days: dict[date | None, list[DayLine]] = defaultdict(list)
    for line in order:
        running = Decimal(0)
        for need in line.by_day:
            running += need.quantity
            days[need.day].append(DayLine(line, need, running))
    for day in sorted(days, key=lambda day: (day is None, day or date.min)):
        yield day, days[day]


def write_days(
    sheet: Worksheet, order: Sequence[OrderLine], names: dict[str, str], unconfirmed: Collection[str] = ()
) -> None:
    """Write the sheet.

    Args:
        sheet: an empty sheet.
        order: the order's lines.
        names: what people call each item.
        unconfirmed: orders that are marked.
    """
    widths(sheet, _WIDTHS)
    title(sheet, 1, "Needs by day")
    remark(sheet, 2, _ABOUT, len(_HEADINGS))
    headings(sheet, _HEADING_ROW, _HEADINGS, _NUMBERS)
    fit_height(sheet, _HEADING_ROW)
    row = _HEADING_ROW
    for _, lines in day_lines(order):
        for line in lines:
            row += 1
            _write_line(sheet, row, line, names, unconfirmed)
        hairline(sheet, row, len(_HEADINGS))
    sheet.freeze_panes = f"A{_HEADING_ROW + 1}"
    print_setup(sheet, _HEADING_ROW, "Needs by day", landscape=True)


def _write_line(sheet: Worksheet, row: int, day: DayLine, names: dict[str, str], unconfirmed: Collection[str]) -> None:
    amounts = (day.need.quantity, day.running, day.line.on_hand, day.to_have_bought)
    values: tuple[Value, ...] = (
        day.need.day or "no day given",
        day.line.buy_item,
        item_words(day.line, names),
        *amounts,
        day.line.unit,
        orders_words(day.need.orders, unconfirmed),
    )
    for column, value in enumerate(values, start=1):
        number_format = quantity_format(value) if isinstance(value, Decimal) else (DAY if column == 1 else "")
        cell = put(sheet, row, column, value, number_format)
        if column == 1:
            cell.alignment = Alignment("left", "top")
    fit_height(sheet, row)
