"""The shop book as a workbook: written for people to edit, read back strictly."""

from __future__ import annotations

from railwright.shop.book_problems import BadShopBook, BookProblem
from railwright.shop.book_reading import read_shop_book
from railwright.shop.book_writing import write_shop_book

__all__ = ["BadShopBook", "BookProblem", "read_shop_book", "write_shop_book"]
