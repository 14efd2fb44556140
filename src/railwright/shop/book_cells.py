"""Reading one cell of a shop book: strict about meaning, easy about decimal commas and blanks around text."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal, InvalidOperation

from railwright.shop.book_columns import Column

Read = str | Decimal | bool | None

_NUMBER = re.compile(r"[+-]?\d+([.,]\d+)?")
#: More figures than any length, price or modulus of a shop has.
_LARGEST = Decimal(10) ** 9


class CellProblem(ValueError):
    """A cell that does not hold what its column asks for; the message says what belongs there."""


def spelled(content: object) -> str:
    """Show what a cell holds, for a sentence about it."""
    if content is None or content == "":
        return "nothing"
    if isinstance(content, date):
        return f"the date {content.isoformat()[:10]}"
    if isinstance(content, str):
        return f'"{content[:60]}"'
    return f"{content}"


def number(content: object) -> Decimal:
    """Read a number from a number cell or from text with a decimal point or comma.

    Args:
        content: the cell's content.

    Returns:
        The number as it is written, without binary rounding.

    Raises:
        CellProblem: anything else, for example text, a date, or a number too large for a shop.
    """
    if isinstance(content, bool) or not isinstance(content, str | int | float | Decimal):
        raise CellProblem("a number")
    text = str(content).strip()
    if isinstance(content, str) and not _NUMBER.fullmatch(text):
        raise CellProblem("a number")
    try:
        value = Decimal(text.replace(",", "."))
    except InvalidOperation:
        raise CellProblem("a number") from None
    if not value.is_finite() or abs(value) > _LARGEST:
        raise CellProblem(f"a number up to {_LARGEST}")
    return value


def text(content: object) -> str:
    """Read text; a number cell counts as the figures it shows."""
    if isinstance(content, bool | date):
        raise CellProblem("text")
    if isinstance(content, float) and content.is_integer():
        return str(int(content))
    return "" if content is None else str(content).strip()


def read_cell(column: Column, content: object) -> Read:
    """Read one cell as its column says.

    Args:
        column: the declared column.
        content: what the cell holds; ``None`` or blank text for nothing.

    Returns:
        Text, a ``Decimal``, a truth value for a yes column, or ``None`` for a blank that may be blank.

    Raises:
        CellProblem: with what was expected, in words.
    """
    blank = content is None or (isinstance(content, str) and not content.strip())
    if column.kind == "yes":
        return _yes(content, blank)
    if blank:
        if column.required:
            raise CellProblem(_wanted(column))
        return "" if column.kind == "text" else None
    if column.kind == "text":
        return text(content)
    if column.kind == "choice":
        return _choice(column, content)
    return _number_of(column, content)


def _yes(content: object, blank: bool) -> bool:
    if blank or content is False or str(content).strip().casefold() == "no":
        return False
    if content is True or str(content).strip().casefold() == "yes":
        return True
    raise CellProblem("yes, no or nothing")


def _choice(column: Column, content: object) -> str:
    wanted = " ".join(str(content).split()).casefold()
    for choice in column.choices:
        if choice.casefold() == wanted:
            return choice
    raise CellProblem(_wanted(column))


def _number_of(column: Column, content: object) -> Decimal:
    try:
        value = number(content)
    except CellProblem as problem:
        raise CellProblem(_wanted(column) if str(problem) == "a number" else str(problem)) from None
    whole = column.kind.startswith("whole") and value != value.to_integral_value()
    too_small = value <= 0 if column.kind in {"positive", "whole_positive"} else value < 0
    if whole or too_small:
        raise CellProblem(_wanted(column))
    return value


_WORDS = {
    "text": "text",
    "positive": "a number above 0",
    "not_negative": "a number, 0 or more",
    "whole_positive": "a whole number from 1",
    "whole_not_negative": "a whole number, 0 or more",
    "money": "a price, 0 or more",
}


def _wanted(column: Column) -> str:
    """Say what belongs in a cell of this column."""
    if column.kind == "choice":
        return "one of: " + ", ".join(column.choices)
    return _WORDS[column.kind]
