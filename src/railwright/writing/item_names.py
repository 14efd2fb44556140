"""The names that people know the items of the shop book by."""

from __future__ import annotations

from railwright.book.model import ShopBook


def item_names(book: ShopBook) -> dict[str, str]:
    """Look the names of all items of the shop book up by their code."""
    names = {part.item: part.name for part in book.hardware}
    return names | {bar.item: bar.name for bar in book.carriers} | {felt.item: felt.name for felt in book.felts}
