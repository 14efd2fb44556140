"""How the sheets of the order say things."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from decimal import Decimal

from railwright.shop.order_model import OrderLine
from railwright.writing.confirming import marked_order

MONEY, DAY = "#,##0.00", "yyyy-mm-dd"
#: More order numbers than this in one cell help nobody; the sheet by instrument has them all.
_MOST_ORDERS = 12


def orders_words(orders: Sequence[str], unconfirmed: Collection[str] = ()) -> str:
    """Name the orders that need an item, the first dozen of many; ``unconfirmed`` ones are marked."""
    shown = ", ".join(marked_order(order, unconfirmed) for order in orders[:_MOST_ORDERS])
    rest = len(orders) - _MOST_ORDERS
    return shown if rest <= 0 else f"{shown} and {rest} more (sheet By instrument)"


def item_words(line: OrderLine, names: Mapping[str, str]) -> str:
    """Name what is bought, and what for where it is bought in the place of another item."""
    if line.buy_item == line.item:
        return line.name
    return f"{names.get(line.buy_item, line.buy_item)}, for {line.item} (serves alike)"


def quantity_format(value: Decimal) -> str:
    """Give the number format of an amount: whole, or with one decimal."""
    return "#,##0" if value == value.to_integral_value() else "#,##0.0"
