"""What purchasing should know about an order line, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from openpyxl.utils import get_column_letter

from railwright.book.model import ShopBook, StockLine
from railwright.shop.book_columns import STOCK
from railwright.shop.buying import extra_packs_words
from railwright.shop.order_model import CuttingSheet, OrderLine
from railwright.shop.packs import packs_needed

_PRICE_COLUMN = get_column_letter(1 + [column.attribute for column in STOCK.columns].index("price"))


def sheet_notes(sheet: CuttingSheet) -> Iterator[str]:
    """Tell of pieces that are in no plan, and of a plan that failed its check."""
    for piece in sheet.plan.unplaced:
        yield (
            f"{sheet.item}: no stock for piece {piece.label} of {piece.length / 10:.1f} mm. "
            "Add stock to the shop book; the piece is in no plan."
        )
    for fault in sheet.faults:
        yield f"{sheet.item}: the cutting plan failed its check: {fault}"


def line_notes(line: OrderLine, book: ShopBook) -> Iterator[str]:
    """Tell what is odd about one order line.

    Args:
        line: as ordered.
        book: the stock lines that it was ordered from.

    Yields:
        A sentence each: nothing to buy it from, a price of zero, another item bought or used in its place, more
        bought than needed.
    """
    if line.missing:
        unit = f" {line.unit}" if line.seller else ""
        yield f"{line.item}: {_why_missing(line, book)}; {line.missing:f}{unit} are missing."
    yield from _stand_in_notes(line, book)
    if line.packs and line.seller is not None:
        if line.cost == 0:
            place = _places([line.seller])
            yield f"{line.buy_item}: its price in the shop book is 0{place}, so it is ordered at no cost."
        yield from _surplus_notes(line, line.seller)


def _why_missing(line: OrderLine, book: ShopBook) -> str:
    there = [each for each in book.stock if each.item in line.members and not each.offcut]
    if not there:
        return "the shop book's Stock sheet has no line for it, so it can be neither used nor bought"
    return f"the shop book names no price to buy it at{_places([each for each in there if each.price is None])}"


def _places(lines: Sequence[StockLine]) -> str:
    """Name the cells of prices, as a new shop book has them; nothing where the book was read from no file."""
    cells = ", ".join(f"{STOCK.sheet}!{_PRICE_COLUMN}{line.row}" for line in lines if line.row)
    return f" ({cells})" if cells else ""


def _stand_in_notes(line: OrderLine, book: ShopBook) -> Iterator[str]:
    """Name the items that serve in the place of the one that is needed."""
    if line.buy_item != line.item:
        yield f"{line.buy_item} is bought for {line.item}: they serve alike and it costs less so."
    for other in line.members[1:]:
        shelf = sum(each.on_hand for each in book.stock if each.item == other)
        if shelf:
            yield f"{line.item}: {shelf} of {other} on the shelf count as on hand; they serve alike."


def _surplus_notes(line: OrderLine, seller: StockLine) -> Iterator[str]:
    """Say why more is bought than the need asks for, and what that does to the money of a cutting plan."""
    reason = extra_packs_words(seller, line.packs, line.need, line.on_hand)
    if not any(line.size):
        if reason and seller.unit == "mm":
            asked = packs_needed(line.need, line.on_hand, seller.pack)
            yield (
                f"{line.buy_item}: {line.packs} packs are bought where the sum of lengths asks for {asked}: "
                "every piece is cut in one."
            )
        elif reason:
            yield f"{line.buy_item}: {reason}."
    elif spare := line.on_hand + line.buy - line.used:
        yield (
            f"{line.item}, {line.size[0] / Decimal(10):f} mm: {spare:f} of the {line.buy:f} bought stay on the shelf "
            f"uncut ({reason or f'a pack holds {seller.pack}'}). "
            "The cutting plan counts each at its share of a pack's price; its proof is of that cost."
        )
