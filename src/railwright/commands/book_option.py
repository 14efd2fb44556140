"""The shop book that a command works with."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from railwright.commands.failures import Stop

if TYPE_CHECKING:
    from railwright.book.model import ShopBook


def load_book(path: Path | None) -> tuple[ShopBook, tuple[str, ...]]:
    """Read the shop book that the user named, or take the default one.

    Args:
        path: the workbook, or ``None``.

    Returns:
        The book, and sentences about values that the workbook leaves to the default.

    Raises:
        Stop: the workbook cannot be used; the message lists sheet, cell, what was expected and found.
    """
    if path is None:
        from railwright.book.default_catalogue import default_shop_book

        return default_shop_book(), ()
    from railwright.shop.book_file import BadShopBook, read_shop_book

    try:
        book, notes = read_shop_book(path)
    except BadShopBook as trouble:
        raise Stop(f"the shop book {path} cannot be used.\n{trouble}") from trouble
    return book, tuple(notes)
