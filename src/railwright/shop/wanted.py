"""How much of what the instruments of a week want, by which day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from railwright.shop.alike import Alike, members_of
from railwright.shop.cut_lines import StockUse
from railwright.shop.order_model import DayNeed, InstrumentNeed

#: How much is wanted by one day, and by whom.
Demand = tuple[date | None, Decimal, str]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is wanted of one specification: the items that part lists name, all that serve, and how much by when.

    ``quantities`` keeps what each part list asks for, in the order of the instruments.
    """

    items: tuple[str, ...]
    members: tuple[str, ...]
    by_day: tuple[DayNeed, ...]
    quantities: tuple[Decimal, ...] = ()


def wanted_parts(needs: Sequence[InstrumentNeed], cut: Collection[str], alike: Alike) -> Iterator[Wanted]:
    """Sum the part lists of all instruments up.

    Args:
        needs: the part list of each instrument.
        cut: items that come from a cutting plan; they are left out.
        alike: items that serve alike; their needs are one.

    Yields:
        One sum a specification, by item.
    """
    demands: dict[tuple[str, ...], list[Demand]] = defaultdict(list)
    named: dict[tuple[str, ...], set[str]] = defaultdict(set)
    for need in needs:
        for part in need.parts:
            if part.item not in cut:
                same = alike.get(part.item, (part.item,))
                demands[same].append((need.needed_by, Decimal(str(part.quantity)), need.order_no))
                named[same].add(part.item)
    for same in sorted(demands, key=lambda items: min(named[items])):
        items = tuple(sorted(named[same]))
        quantities = tuple(quantity for _, quantity, _ in demands[same])
        yield Wanted(items, members_of(items, alike), by_day(demands[same]), quantities)


def by_day(demands: Iterable[Demand]) -> tuple[DayNeed, ...]:
    """Sum demands by day, earliest first, those without a day last."""
    quantities: dict[date | None, Decimal] = defaultdict(Decimal)
    orders: dict[date | None, set[str]] = defaultdict(set)
    for day, quantity, order in demands:
        quantities[day] += quantity
        orders[day].add(order)
    days = sorted(quantities, key=lambda day: (day is None, day or date.min))
    return tuple(DayNeed(day, quantities[day], tuple(sorted(orders[day]))) for day in days)


def days_of_orders(needs: Iterable[InstrumentNeed]) -> dict[str, date]:
    """Look the earliest day of each order up; orders without a day are not in it."""
    days: dict[str, date] = {}
    for need in needs:
        if need.needed_by:
            days[need.order_no] = min(need.needed_by, days.get(need.order_no, need.needed_by))
    return days


def stock_by_day(uses: Iterable[StockUse], days: Mapping[str, date]) -> tuple[DayNeed, ...]:
    """Say by which day bars or sheets are wanted: the earliest of the days of the pieces on each.

    Args:
        uses: bars or sheets of one size, each with the orders of its pieces.
        days: the day of each order that has one.

    Returns:
        Bars or sheets by day, with all orders that they serve.
    """
    demands: list[Demand] = []
    for use in uses:
        day = min((days[order] for order in use.orders if order in days), default=None)
        shares = [Decimal(1), *(Decimal(0) for _ in use.orders[1:])]  # one bar counts once, whoever it serves
        demands += [(day, share, order) for share, order in zip(shares, use.orders, strict=True)]
    return by_day(demands)
