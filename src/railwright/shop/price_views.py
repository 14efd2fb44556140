"""What one bar or sheet may be said to cost, where packs, least numbers and price breaks decide what it does cost.

A plan needs a price for each single bar. Packs and breaks make that a matter of how many are bought, so a material
is planned once for each way to look at the prices, and the plan whose purchase costs least is taken.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from railwright.book.model import ShopBook, StockLine
from railwright.shop.buying import best_buy
from railwright.shop.cut_lines import stock_uses
from railwright.shop.order import places_of
from railwright.shop.order_model import CuttingSheet

#: Prices in cents by the place of a line on the Stock sheet; lines that are not in it are not bought.
PriceView = Mapping[int, int]

#: Lengths of one item that are tried as the only one to be bought.
_MOST_ALONE = 4


def cents_each(line: StockLine, at_break: bool = False) -> int:
    """Give the price of one bar, sheet or piece of a stock line in whole cents, rounded to the nearest.

    Args:
        line: a line with a price.
        at_break: take the price from the break on, where there is one.

    Returns:
        The share of one unit in a pack's price.

    Raises:
        ValueError: the line has no price.
    """
    price = line.break_price if at_break and line.break_price is not None else line.price
    if price is None:
        raise ValueError(f"{line.item} has no price")
    return int((price / line.pack * 100).to_integral_value())


def price_views(item: str, book: ShopBook) -> list[PriceView]:
    """List the ways to look at the prices of an item.

    Args:
        item: a bar or felt.
        book: the stock lines.

    Returns:
        The usual prices alone where bars are bought one by one; otherwise also the prices from the breaks on, which no
        purchase undercuts, in front, and each length as the only one to be bought.
    """
    sold = {
        place: line
        for place, line in enumerate(book.stock)
        if line.item == item and line.price is not None and not line.offcut
    }
    usual = {place: cents_each(line) for place, line in sold.items()}
    if not any(line.pack > 1 or line.least_packs or line.break_packs for line in sold.values()):
        return [usual]
    views = [{place: cents_each(line, True) for place, line in sold.items()}, usual]
    if len(sold) > 1:
        alone = [{place: cents} for view in views for place, cents in view.items()]
        views += alone[: 2 * _MOST_ALONE]
    return [dict(view) for view in dict.fromkeys(tuple(view.items()) for view in views)]


def purchase_cost(sheet: CuttingSheet, book: ShopBook) -> Decimal:
    """Add up what the bars or sheets of a plan cost as they are bought: in whole packs, with least numbers and breaks.

    Args:
        sheet: the plan of one material.
        book: the stock lines.

    Returns:
        The money of the order lines of this material.
    """
    number: dict[tuple[int, int], int] = {}
    for use in stock_uses(sheet):
        if not use.offcut:
            number[use.size] = number.get(use.size, 0) + 1
    total = Decimal(0)
    for size, need in number.items():
        lines = [book.stock[place] for place in places_of((sheet.item,), size, book)]
        bought = best_buy(lines, need, sum(line.on_hand for line in lines))
        total += bought.cost if bought else 0
    return total


def cheapest_bought(plans: list[CuttingSheet], book: ShopBook) -> CuttingSheet:
    """Choose among plans of one material: none unplaced if that can be, then the least purchase.

    Of equal ones that plan is taken whose own money is that of its purchase, so that its proof is of what is paid.

    Args:
        plans: at least one, in the order of the views.
        book: the stock lines.

    Returns:
        The plan to cut by.
    """

    def rank(sheet: CuttingSheet) -> tuple[int, int, Decimal, bool]:
        cost = purchase_cost(sheet, book)
        return len(sheet.faults), len(sheet.plan.unplaced), cost, cost * 100 != sheet.plan.cents

    return min(plans, key=rank) if len(plans) > 1 else plans[0]
