"""What purchasing orders: the needs of all instruments made, less the shelf, up to whole packs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from decimal import ROUND_CEILING, Decimal

from railwright.book.model import ShopBook, StockLine
from railwright.shop.alike import alike_items
from railwright.shop.buying import best_buy
from railwright.shop.cut_lines import StockUse, stock_uses
from railwright.shop.cutting.model import tenths
from railwright.shop.order_model import CuttingSheet, DayNeed, InstrumentNeed, OrderLine
from railwright.shop.order_notes import line_notes, sheet_notes
from railwright.shop.reels import in_whole_pieces
from railwright.shop.wanted import Wanted, days_of_orders, stock_by_day, wanted_parts

#: The unit of what is sold by length and cut, such as cable.
BY_LENGTH = "mm"


def order_lines(
    needs: Sequence[InstrumentNeed], cutting: Sequence[CuttingSheet], book: ShopBook
) -> tuple[tuple[OrderLine, ...], tuple[str, ...]]:
    """Consolidate the order of all instruments that are made.

    Bars and felt sheets come from the cutting plans, everything else from the part lists.

    Args:
        needs: the part list of each instrument.
        cutting: the cutting plans of the same instruments.
        book: the shelf and the prices.

    Returns:
        Order lines by item, and sentences about items that the shop book cannot supply, that are bought in the place
        of others, or of which more is bought than is needed.
    """
    days = days_of_orders(needs)
    lines = [line for sheet in cutting for line in _material_lines(sheet, days, book)]
    names = _names(book)
    cut = {sheet.item for sheet in cutting}
    lines += [_part_line(wanted, names, book) for wanted in wanted_parts(needs, cut, alike_items(book))]
    lines.sort(key=lambda line: line.item)
    notes = [note for sheet in cutting for note in sheet_notes(sheet)]
    return tuple(lines), (*notes, *(note for line in lines for note in line_notes(line, book)))


def _names(book: ShopBook) -> dict[str, str]:
    names = {carrier.item: carrier.name for carrier in book.carriers}
    names |= {felt.item: felt.name for felt in book.felts}
    return names | {part.item: part.name for part in book.hardware}


def places_of(members: Sequence[str], size: tuple[int, int], book: ShopBook) -> list[int]:
    """Find the stock lines, offcuts aside, that serve one order line.

    Args:
        members: items that serve alike, those to be used first in front.
        size: length and width in tenths of a millimetre; zeros for packed parts.
        book: the stock lines.

    Returns:
        Places on the Stock sheet from 0, in the order in which the shelf is used up.
    """
    found = [place for place, line in enumerate(book.stock) if line.item in members and not line.offcut]
    if any(size):
        found = [place for place in found if _size(book.stock[place]) == size]
    return sorted(found, key=lambda place: members.index(book.stock[place].item))


def _size(line: StockLine) -> tuple[int, int]:
    return tenths(line.length_mm), tenths(line.width_mm)


def _stock(members: Sequence[str], size: tuple[int, int], book: ShopBook) -> list[StockLine]:
    return [book.stock[place] for place in places_of(members, size, book)]


def _part_line(wanted: Wanted, names: Mapping[str, str], book: ShopBook) -> OrderLine:
    item = wanted.items[0]
    stock = _stock(wanted.members, (0, 0), book)
    need = sum((day.quantity for day in wanted.by_day), Decimal(0))
    line = _line(item, names.get(item, item), need, wanted.members, (0, 0), stock, wanted.by_day)
    return in_whole_pieces(line, wanted.quantities, stock) if line.unit == BY_LENGTH else line


def _material_lines(sheet: CuttingSheet, days: Mapping[str, date], book: ShopBook) -> Iterator[OrderLine]:
    """Give one line for each stock size that the plan takes; offcuts need no line."""
    by_size: dict[tuple[int, int], list[StockUse]] = {}
    for use in stock_uses(sheet):
        if not use.offcut:
            by_size.setdefault(use.size, []).append(use)
    for size, uses in sorted(by_size.items()):
        stock = _stock((sheet.item,), size, book)
        name = f"{sheet.name}, {_size_words(stock[0])}"
        yield _line(sheet.item, name, Decimal(len(uses)), (sheet.item,), size, stock, stock_by_day(uses, days))


def _line(
    item: str,
    name: str,
    need: Decimal,
    members: tuple[str, ...],
    size: tuple[int, int],
    stock: Sequence[StockLine],
    by_day: tuple[DayNeed, ...],
) -> OrderLine:
    on_hand = Decimal(sum(line.on_hand for line in stock))
    bought = best_buy(stock, need, on_hand)
    seller = bought.line if bought else next(iter(stock), None)
    buy = Decimal(bought.buy if bought else 0)
    return OrderLine(
        item=item,
        name=name,
        need=need,
        on_hand=on_hand,
        buy=buy,
        pack=seller.pack if seller else 1,
        packs=bought.packs if bought else 0,
        unit=seller.unit if seller else "pieces",
        cost=bought.cost if bought else (Decimal(0) if need <= on_hand else None),
        orders=tuple(sorted({order for day in by_day for order in day.orders})),
        needed_by=next((day.day for day in by_day), None),
        supplier=seller.supplier if seller and bought else "",
        by_day=by_day,
        used=min(need.to_integral_value(ROUND_CEILING), on_hand + buy),
        size=size,
        members=members,
        seller=seller,
    )


def _size_words(line: StockLine) -> str:
    across = f" x {line.width_mm:f}" if line.width_mm else ""
    return f"{line.unit} {line.length_mm:f}{across} mm"
