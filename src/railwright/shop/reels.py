"""What is sold by length on reels and cut into pieces that cannot be joined: a sum of lengths does not buy it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from railwright.book.model import StockLine
from railwright.shop.buying import best_buy
from railwright.shop.cutting.model import Piece, Plan, Stock, tenths
from railwright.shop.cutting.solve import plan_bars
from railwright.shop.order_model import OrderLine


def in_whole_pieces(line: OrderLine, pieces: Sequence[Decimal], stock: Sequence[StockLine]) -> OrderLine:
    """Buy as many reels as the pieces need when each is cut in one.

    What lies on the shelf of one stock line is taken to be one length. What is left counts only as far as the longest
    rest goes; shorter ends are waste.

    Args:
        line: the order line as the sum of lengths makes it.
        pieces: the lengths to cut, mm.
        stock: the lines that serve it, in mm.

    Returns:
        The same line, with the reels that the pieces need and what they use up; unchanged where nothing can be bought
        or a piece is longer than any reel.
    """
    if line.seller is None or line.seller.price is None:
        return line
    shelf = [Stock(line.item, tenths(each.on_hand), 0, 1) for each in stock if each.on_hand > 0]
    reel = Stock(line.item, tenths(line.seller.pack), 1, None)
    plan = plan_bars(line.item, [Piece(str(n), tenths(each)) for n, each in enumerate(pieces)], [*shelf, reel], 0)
    reels = sum(bar.stock.available is None for bar in plan.bars)
    if plan.unplaced:
        return line
    bought = best_buy([line.seller], Decimal(max(reels, line.packs) * line.seller.pack), 0)
    if bought is None:
        return line
    used = line.on_hand + bought.buy - _longest_rest(plan, shelf, bought.packs - reels, reel)
    return replace(line, packs=bought.packs, buy=Decimal(bought.buy), cost=bought.cost, used=Decimal(used))


def _longest_rest(plan: Plan, shelf: Sequence[Stock], spare_reels: int, reel: Stock) -> int:
    """Give the longest single length that is left, in whole mm."""
    taken = [bar.stock for bar in plan.bars]
    rests = [bar.remnant for bar in plan.bars]
    rests += [each.length for each in shelf if shelf.count(each) > taken.count(each)]
    rests += [reel.length] if spare_reels else []
    return max(rests, default=0) // 10
