"""Stock lines as offers: which one is bought, and how many packs of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from railwright.book.model import StockLine
from railwright.shop.packs import Offer, Quantity, cheapest_purchase, packs_needed


@dataclass(frozen=True, slots=True)
class Bought:
    """A stock line that is bought, in how many packs, and what they cost together."""

    line: StockLine
    packs: int
    cost: Decimal

    @property
    def buy(self) -> int:
        """How many units the packs bring."""
        return self.packs * self.line.pack


def best_buy(lines: Sequence[StockLine], need: Quantity, on_hand: Quantity) -> Bought | None:
    """Choose the line to buy from: least money, then least left over, then the order given.

    All of a purchase comes from one line, so that an item stays one line of the order.

    Args:
        lines: lines that serve alike.
        need: how much is wanted, in their unit.
        on_hand: how much of all of them lies on the shelf.

    Returns:
        The purchase, of no packs where the shelf suffices; ``None`` where no line has a price.
    """
    priced = [line for line in lines if line.price is not None and not line.offcut]
    offers = [_offer(line) for line in priced]
    found = cheapest_purchase(offers, need, on_hand)
    if found is None:
        return None
    line = next(line for line, offer in zip(priced, offers, strict=True) if offer is found.offer)
    return Bought(line, found.packs, Decimal(found.cents) / 100)


def _offer(line: StockLine) -> Offer:
    assert line.price is not None
    breaks = ((line.break_packs, line.break_price * 100),) if line.break_packs and line.break_price is not None else ()
    return Offer(line.item, line.pack, line.price * 100, breaks, line.least_packs or 0)


def extra_packs_words(line: StockLine, packs: int, need: Quantity, on_hand: Quantity) -> str:
    """Say why more packs are bought than the need asks for; empty where they are not."""
    asked = packs_needed(need, on_hand, line.pack)
    if packs <= asked:
        return ""
    if packs == line.least_packs:
        return f"{packs} packs are bought where {asked} would do: fewer are not sold"
    return f"{packs} packs are bought where {asked} would do: from {line.break_packs} on they cost less together"
