"""Which small parts serve alike: items whose stock lines name the same specification."""

from __future__ import annotations

from collections.abc import Mapping

from railwright.book.model import ShopBook

Alike = Mapping[str, tuple[str, ...]]


def alike_items(book: ShopBook) -> Alike:
    """Look up, for every item that has alternatives, all items of its specification.

    Args:
        book: the stock lines.

    Returns:
        Item codes by item code, in the order of the Stock sheet, the item itself among them; items without a
        specification are not in it.
    """
    by_words: dict[str, list[str]] = {}
    for line in book.stock:
        if line.same_as and line.item not in by_words.setdefault(line.same_as, []):
            by_words[line.same_as].append(line.item)
    return {item: tuple(items) for items in by_words.values() for item in items}


def members_of(needed: tuple[str, ...], alike: Alike) -> tuple[str, ...]:
    """List the items whose shelves serve a need: those needed first, then the others of their specification.

    Args:
        needed: items of one specification, at least one.
        alike: what ``alike_items`` gives.

    Returns:
        Item codes, each once.
    """
    return tuple(dict.fromkeys((*needed, *alike.get(needed[0], ()))))
