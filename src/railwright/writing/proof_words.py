"""What is known of a cutting plan, in sentences: its cost, what it takes from the shelf, and what of it is proven."""

from __future__ import annotations

from railwright.book.model import ShopBook
from railwright.shop.cut_lines import stock_uses
from railwright.shop.cutting.model import Plan
from railwright.shop.order_model import CuttingSheet
from railwright.shop.price_views import purchase_cost
from railwright.writing.numbers import money, plain, several


def known_words(sheet: CuttingSheet, book: ShopBook) -> str:
    """Say everything that is known of a plan.

    Args:
        sheet: the plan of one material, checked.
        book: its currency, and how its bars are bought.

    Returns:
        Sentences; a plan that failed its check is called that and nothing else.
    """
    if sheet.faults:
        return f"NOT TO BE TRUSTED, the plan failed its check: {'; '.join(sheet.faults)}. Do not cut by it."
    plan = sheet.plan
    if any(use.bought for use in stock_uses(sheet)):
        words = proof_words(plan.cents, plan.bound_cents, plan.proven, book.text("currency"))
        words += purchase_words(sheet, book)
    elif plan.unplaced:
        words = "Nothing is bought."
    else:
        words = "Nothing to buy: the shelf suffices."
    return f"{words} {shelf_words(sheet)}".rstrip()


def proof_words(cents: int, bound_cents: int, proven: bool, currency: str) -> str:
    """Say what is known of a plan's cost: proven least, or at most so far above what nothing can undercut."""
    cost = money(cents / 100, currency)
    if proven:
        return f"Cost {cost}: proven, with each piece taken over its long points; no such plan costs less."
    gap = 100 * (cents - bound_cents) / cents
    return (
        f"Cost {cost}: with each piece taken over its long points no plan costs less than "
        f"{money(bound_cents / 100, currency)} (at most {plain(gap, 2)} % less)."
    )


def shelf_words(sheet: CuttingSheet) -> str:
    """Say what whole bars or sheets are taken from the shelf, and how far that is proven least; empty for none."""
    plan = sheet.plan
    if plan.shelf is None:
        return ""
    uses = [use for use in stock_uses(sheet) if not use.offcut and not use.bought]
    if isinstance(plan, Plan):
        taken, what = plan.shelf_length, f"{several(len(uses), 'bar')}, {plain(plan.shelf_length / 10)} mm,"
    else:
        taken, what = plan.shelf_area, f"{several(len(uses), 'sheet')}, {plain(plan.shelf_area / 1e8, 3)} m2,"
    words = f"Whole from the shelf: {what}"
    if plan.shelf.bound == taken:
        return f"{words} proven: no plan with this purchase takes less."
    return f"{words} and no plan with this purchase takes {plain(100 * (1 - plan.shelf.bound / taken), 2)} % less."


def purchase_words(sheet: CuttingSheet, book: ShopBook) -> str:
    """Say what the order comes to where that is another sum than the plan's, and why; empty where it is not."""
    cost = purchase_cost(sheet, book)
    if cost * 100 == sheet.plan.cents:
        return ""
    return (
        " That counts each at its share of a pack's price; bought in whole packs, with least numbers and price breaks, "
        f"they come to {money(cost, book.text('currency'))}, the least of the plans tried."
    )
