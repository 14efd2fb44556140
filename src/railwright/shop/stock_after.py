"""The shelf as it stands after a week's purchase, cutting and fitting; the shop's own book is never touched."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from railwright.book.model import ShopBook, StockLine
from railwright.shop.cut_lines import stock_uses
from railwright.shop.cutting.model import tenths
from railwright.shop.order import places_of
from railwright.shop.order_model import CuttingSheet, OrderLine
from railwright.shop.remnants import Rest, kept_rests, rack_labels


@dataclass(frozen=True, slots=True)
class Movement:
    """What happens to one line of stock: on hand before and bought are used or are there after, in whole units."""

    line: StockLine
    bought: int
    used: int

    @property
    def before(self) -> int:
        """What lay on the shelf."""
        return self.line.on_hand

    @property
    def after(self) -> int:
        """What lies there then."""
        return self.line.on_hand + self.bought - self.used


@dataclass(frozen=True, slots=True)
class StockAfter:
    """The Stock sheet after a week: every line of the book that moved or not, and the offcuts that are new."""

    movements: tuple[Movement, ...]
    new_offcuts: tuple[StockLine, ...]

    @property
    def lines(self) -> tuple[StockLine, ...]:
        """The lines of the sheet: offcuts that are used up are gone, new ones stand at the end."""
        left = [replace(m.line, on_hand=m.after) for m in self.movements if not _used_up(m)]
        return (*left, *self.new_offcuts)


def _used_up(movement: Movement) -> bool:
    return movement.line.offcut and movement.used > 0 and movement.after == 0


def stock_after(book: ShopBook, cutting: Sequence[CuttingSheet], order: Sequence[OrderLine]) -> StockAfter:
    """Work out the shelf after a week in which everything ordered is bought, cut and fitted as planned.

    Args:
        book: the shelf before.
        cutting: the plans of the week.
        order: the order of the same week.

    Returns:
        What moves and what is left. What is used of mm and g is rounded up to whole ones.
    """
    bought, used = Counter[int](), _offcuts_used(book, cutting)
    for line in order:
        serving = places_of(line.members, line.size, book)
        if line.seller is not None and line.packs:
            bought[next(place for place in serving if book.stock[place] == line.seller)] += int(line.buy)
        used += _shared(int(line.used), serving, book, bought)
    movements = (Movement(line, bought[number], used[number]) for number, line in enumerate(book.stock))
    return StockAfter(tuple(movements), _new_offcuts(cutting, book))


def _shared(total: int, serving: Sequence[int], book: ShopBook, bought: Counter[int]) -> Counter[int]:
    """Take a total from stock lines in their order: first what lies on the shelf, then what is bought."""
    used = Counter[int]()
    for there in ({number: book.stock[number].on_hand for number in serving}, bought):
        for number in serving:
            part = min(total, there[number])
            used[number] += part
            total -= part
    return used


def _offcuts_used(book: ShopBook, cutting: Sequence[CuttingSheet]) -> Counter[int]:
    """Count the offcuts that the plans take, by their line's place on the Stock sheet."""
    taken = Counter(
        (sheet.item, use.length, use.width, use.rack) for sheet in cutting for use in stock_uses(sheet) if use.offcut
    )
    used = Counter[int]()
    for number, line in enumerate(book.stock):
        key = (line.item, tenths(line.length_mm), tenths(line.width_mm), line.rack)
        if line.offcut and taken[key]:
            used[number] = min(taken[key], line.on_hand)
            taken[key] -= used[number]
    return used


def _new_offcuts(cutting: Sequence[CuttingSheet], book: ShopBook) -> tuple[StockLine, ...]:
    racks, kinds = rack_labels(cutting, book), {sheet.item: sheet.kind for sheet in cutting}
    return tuple(
        _offcut(rest, "bar" if kinds[rest.item] == "bar" else "sheet", number, racks[rest])
        for rest, number in kept_rests(cutting, book).items()
    )


def _offcut(rest: Rest, unit: str, number: int, rack: str) -> StockLine:
    length, width = Decimal(rest.length) / 10, Decimal(rest.width) / 10
    return StockLine(rest.item, length, width, unit, 1, None, number, offcut=True, rack=rack)
