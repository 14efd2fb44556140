"""What purchasing orders: the needs of all instruments made, less the shelf, up to whole packs."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from railwright.book.model import ShopBook, StockLine
from railwright.shop.cut_lines import stock_taken
from railwright.shop.cutting.model import tenths
from railwright.shop.order_model import CuttingSheet, InstrumentNeed, OrderLine
from railwright.shop.packs import Offer, Purchase, cheapest_purchase

#: Units of parts that come from the cutting plan, not from a sum of lengths.
_CUT_KINDS = ("bar", "sheet")


@dataclass(frozen=True, slots=True)
class _Wanted:
    """How much of one item is wanted, by whom and by when."""

    quantity: Decimal
    orders: tuple[str, ...]
    needed_by: date | None


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
        Order lines by item, and sentences about items that the shop book cannot supply.
    """
    names = _names(book)
    lines: list[OrderLine] = []
    notes: list[str] = []
    for sheet in cutting:
        lines += _material_lines(sheet, _who(needs, sheet.item), book)
        notes += (*_unplaced(sheet), *(f"{sheet.item}: the cutting plan failed its check: {f}" for f in sheet.faults))
    cut = {sheet.item for sheet in cutting}
    for item, wanted in _totals(needs, cut).items():
        line = _part_line(item, names.get(item, item), wanted, book)
        lines.append(line)
        if line.cost is None and line.need > line.on_hand:
            notes.append(
                f"{item}: the shop book names no price to buy it at; {line.need - line.on_hand:f} are missing."
            )
    return tuple(sorted(lines, key=lambda line: line.item)), tuple(notes)


def _names(book: ShopBook) -> dict[str, str]:
    names = {carrier.item: carrier.name for carrier in book.carriers}
    names |= {felt.item: felt.name for felt in book.felts}
    return names | {part.item: part.name for part in book.hardware}


def _who(needs: Iterable[InstrumentNeed], item: str) -> _Wanted:
    using = [need for need in needs if any(part.item == item for part in need.parts)]
    return _wanted(Decimal(0), using)


def _wanted(quantity: Decimal, using: Sequence[InstrumentNeed]) -> _Wanted:
    days = [need.needed_by for need in using if need.needed_by]
    return _Wanted(quantity, tuple(sorted({need.order_no for need in using})), min(days, default=None))


def _totals(needs: Sequence[InstrumentNeed], cut: set[str]) -> dict[str, _Wanted]:
    quantities: dict[str, Decimal] = defaultdict(Decimal)
    using: dict[str, list[InstrumentNeed]] = defaultdict(list)
    for need in needs:
        for part in need.parts:
            if part.item not in cut:
                quantities[part.item] += Decimal(str(part.quantity))
                using[part.item].append(need)
    return {item: _wanted(quantity, using[item]) for item, quantity in sorted(quantities.items())}


def _part_line(item: str, name: str, wanted: _Wanted, book: ShopBook) -> OrderLine:
    stock = [line for line in book.stock if line.item == item]
    on_hand = Decimal(sum(line.on_hand for line in stock))
    bought = _buy(stock, wanted.quantity, on_hand)
    seller = next((line for line in stock if line.price is not None), stock[0] if stock else None)
    pack = int(bought.offer.pack) if bought else (seller.pack if seller else 1)
    return OrderLine(
        item=item,
        name=name,
        need=wanted.quantity,
        on_hand=on_hand,
        buy=Decimal(bought.buy) if bought else Decimal(0),
        pack=pack,
        packs=bought.packs if bought else 0,
        unit=seller.unit if seller else "pieces",
        cost=Decimal(bought.cents) / 100 if bought else None,
        orders=wanted.orders,
        needed_by=wanted.needed_by,
        supplier=_supplier(stock, pack),
    )


def _buy(stock: Sequence[StockLine], need: Decimal, on_hand: Decimal) -> Purchase | None:
    offers = [Offer(line.item, line.pack, _cents(line.price)) for line in stock if line.price is not None]
    return cheapest_purchase(offers, need, on_hand)


def _cents(price: Decimal) -> int:
    return int((price * 100).to_integral_value())


def _supplier(stock: Sequence[StockLine], pack: int) -> str:
    return next((line.supplier for line in stock if line.price is not None and line.pack == pack), "")


def _material_lines(sheet: CuttingSheet, wanted: _Wanted, book: ShopBook) -> Iterator[OrderLine]:
    """Give one line for each stock size that the plan takes; offcuts need no line."""
    used, bought = Counter[tuple[int, int]](), Counter[tuple[int, int]]()
    for taken, count in stock_taken(sheet).items():
        if not taken.offcut:
            (bought if taken.bought else used)[taken.length, taken.width] += count
    for size in sorted(used | bought):
        line = _stock_line(sheet.item, size, book)
        packs = -(-bought[size] // line.pack)
        yield OrderLine(
            item=sheet.item,
            name=f"{sheet.name}, {_size_words(line)}",
            need=Decimal(used[size] + bought[size]),
            on_hand=Decimal(sum(each.on_hand for each in _of_size(sheet.item, size, book))),
            buy=Decimal(packs * line.pack),
            pack=line.pack,
            packs=packs,
            unit=line.unit,
            cost=line.price * packs if line.price is not None else (None if packs else Decimal(0)),
            orders=wanted.orders,
            needed_by=wanted.needed_by,
            supplier=line.supplier,
        )


def _of_size(item: str, size: tuple[int, int], book: ShopBook) -> list[StockLine]:
    return [
        line
        for line in book.stock
        if line.item == item and not line.offcut and (tenths(line.length_mm), tenths(line.width_mm)) == size
    ]


def _stock_line(item: str, size: tuple[int, int], book: ShopBook) -> StockLine:
    lines = _of_size(item, size, book)
    return min(lines, key=lambda line: (line.price is None, line.price and line.price / line.pack))


def _size_words(line: StockLine) -> str:
    across = f" x {line.width_mm:f}" if line.width_mm else ""
    return f"{line.unit} {line.length_mm:f}{across} mm"


def _unplaced(sheet: CuttingSheet) -> Iterator[str]:
    for piece in sheet.plan.unplaced:
        yield (
            f"{sheet.item}: no stock for piece {piece.label} of {piece.length / 10:.1f} mm. "
            "Add stock to the shop book; the piece is in no plan."
        )
