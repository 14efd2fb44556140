"""Buying by the pack: whole packs, price breaks, minimum orders, the cheapest of several offers.

Quantities are whole numbers or decimals, and so is money, in cents: a small part may cost less than one. Floats are
refused: 2.1 / 0.3 is a little more than 7 in binary, and one pack too many would be bought.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

Quantity = int | Decimal


@dataclass(frozen=True, slots=True)
class Offer:
    """One way to buy an item.

    ``pack`` is what one pack holds, in the item's unit; ``cents`` the price of one pack. ``breaks`` are pairs
    (packs, cents a pack) that hold for the whole order from that many packs on. ``min_packs`` is the least that
    is sold.
    """

    item: str
    pack: Quantity
    cents: Quantity
    breaks: tuple[tuple[int, Quantity], ...] = ()
    min_packs: int = 0


@dataclass(frozen=True, slots=True)
class Purchase:
    """What is bought of one offer; ``left_over`` is what remains on the shelf when the need is served."""

    offer: Offer
    packs: int
    cents: Quantity
    buy: Quantity
    left_over: Quantity


def _exact(value: Quantity) -> Fraction:
    """Take a quantity exactly; a float never is."""
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise TypeError(f"a quantity must be a whole number or a decimal, not {value!r}")
    return Fraction(value)


def packs_needed(need: Quantity, on_hand: Quantity, pack: Quantity) -> int:
    """Count the whole packs that cover a need after what is on the shelf.

    Args:
        need: quantity wanted, in the item's unit.
        on_hand: quantity on the shelf; below zero counts as nothing there.
        pack: quantity in one pack.

    Returns:
        The number of packs, 0 where the shelf suffices.

    Raises:
        TypeError: a quantity is a float.
        ValueError: the pack holds nothing.
    """
    if _exact(pack) <= 0:
        raise ValueError(f"a pack must hold something, not {pack}")
    missing = _exact(need) - max(Fraction(0), _exact(on_hand))
    return max(0, -(-missing // _exact(pack)))


def pack_price(offer: Offer, packs: int) -> Quantity:
    """Return the price of one pack when so many are bought, in cents: the break with the most packs reached."""
    reached = [(least, cents) for least, cents in offer.breaks if packs >= least]
    return max(reached)[1] if reached else offer.cents


def purchase(offer: Offer, need: Quantity, on_hand: Quantity) -> Purchase:
    """Choose how many packs of one offer to buy: the cheapest number that covers the need.

    That can be more than the packs needed, where a price break or the minimum order makes more packs cheaper; of
    equal prices the fewer packs.

    Args:
        offer: the packs to be had.
        need: quantity wanted.
        on_hand: quantity on the shelf.

    Returns:
        The purchase; nothing is bought where the shelf suffices.
    """
    packs = packs_needed(need, on_hand, offer.pack)
    if packs:
        packs = max(packs, offer.min_packs)
        choices = {packs, *(least for least, _ in offer.breaks if least > packs)}
        packs = min(choices, key=lambda count: (count * pack_price(offer, count), count))
    buy = packs * offer.pack
    left_over = max(0 * offer.pack, on_hand) + buy - need
    return Purchase(offer, packs, packs * pack_price(offer, packs), buy, left_over)


def cheapest_purchase(offers: Sequence[Offer], need: Quantity, on_hand: Quantity) -> Purchase | None:
    """Choose among offers of equal specification: least money, then least left over, then the order given.

    Args:
        offers: the alternatives.
        need: quantity wanted of them together.
        on_hand: quantity on the shelf of all of them together.

    Returns:
        The cheapest purchase, ``None`` without offers.
    """
    found = [purchase(offer, need, on_hand) for offer in offers]
    return min(found, key=lambda bought: (bought.cents, _exact(bought.left_over)), default=None)
