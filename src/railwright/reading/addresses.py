"""Cell addresses: ``B3`` to row and column and back."""

from __future__ import annotations

import re
from functools import lru_cache

from railwright.reading import limits

_CELL = re.compile(r"\$?([A-Za-z]{1,3})\$?([1-9][0-9]{0,6})", re.ASCII)


# The same few hundred addresses come back in every file of a run.
@lru_cache(maxsize=16_384)
def parse_address(text: str) -> tuple[int, int] | None:
    """Read one cell address.

    Args:
        text: Such as ``B3`` or ``$B$3``.

    Returns:
        Row and column, both from 1; ``None`` where the text is no address of a cell that exists.
    """
    found = _CELL.fullmatch(text)
    if found is None:
        return None
    row, column = int(found.group(2)), column_number(found.group(1))
    return (row, column) if row <= limits.LAST_ROW and column <= limits.LAST_COLUMN else None


def whole_number(text: str | None, otherwise: int = 0) -> int:
    """Read a whole number from a file, where it may be missing, absurdly long or no number at all.

    Args:
        text: Plain figures without a sign.
        otherwise: What stands for anything else.

    Returns:
        The number, below a thousand million.
    """
    return int(text) if text and len(text) < 10 and text.isascii() and text.isdecimal() else otherwise


def column_number(letters: str) -> int:
    """Turn column letters into a number, A being 1."""
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - 64
    return number


def column_letters(number: int) -> str:
    """Turn a column number into letters, 1 being A."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def address(row: int, column: int) -> str:
    """Write an address without dollar signs."""
    return f"{column_letters(column)}{row}"


def parse_range(text: str) -> tuple[int, int, int, int] | None:
    """Read an address or a range of two.

    Args:
        text: Such as ``B3``, ``$B$3:$C$4``.

    Returns:
        First row, first column, last row, last column; ``None`` where the text is neither.
    """
    first, _, second = text.partition(":")
    start = parse_address(first)
    end = parse_address(second) if second else start
    if start is None or end is None or (":" in text and not second):
        return None
    rows, columns = sorted((start[0], end[0])), sorted((start[1], end[1]))
    return rows[0], columns[0], rows[1], columns[1]
