"""Plain numbers as people write them: decimals with point or comma, whole numbers, fractions of an inch."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

#: Whole number, then a fraction; a space, a plus or a tight hyphen may stand between (a hyphen with a space may be a
#: minus). Figures are bounded so that no text is slow.
_MIXED = re.compile(r"(?:([0-9]{1,9})(?: |-| ?\+ ?))?([0-9]{1,4}) ?/ ?([0-9]{1,4})")
_DECIMAL = re.compile(r"([0-9]{0,9})(?:[.,]([0-9]{0,9}))?")


@dataclass(frozen=True, slots=True)
class Figure:
    """A number and how it was written.

    ``denominator`` is that of a written fraction, 0 for a decimal; ``decimals`` counts the figures after the point or
    comma. ``fault`` says in words why a fraction cannot be one of a rule or tape; the value is then not to be used.
    """

    value: Fraction
    denominator: int = 0
    decimals: int = 0
    fault: str = ""


def read_figure(text: str) -> Figure | None:
    """Read a number without sign, such as ``12 1/8``, ``12-1/8``, ``12.125``, ``12,125`` or ``.5``.

    A comma is a decimal comma.

    Args:
        text: The number in plain signs, without outer spaces.

    Returns:
        The number; ``None`` for any other text.
    """
    if match := _MIXED.fullmatch(text):
        return _mixed(match[1] or "", int(match[2]), int(match[3]))
    match = _DECIMAL.fullmatch(text)
    if match is None or not (match[1] or match[2]):
        return None
    decimals = match[2] or ""
    return Figure(Fraction(f"{match[1] or 0}.{decimals or 0}"), decimals=len(decimals))


def _mixed(whole: str, numerator: int, denominator: int) -> Figure:
    fault = _fault(whole, numerator, denominator)
    value = Fraction(0) if fault else int(whole or 0) + Fraction(numerator, denominator)
    return Figure(value, denominator, fault=fault)


def _fault(whole: str, numerator: int, denominator: int) -> str:
    """Say why this is no fraction of a rule, whose marks halve the inch again and again."""
    written = f"{numerator}/{denominator}"
    if denominator not in (2, 4, 8, 16, 32, 64):
        return f"{written} is on no rule: the lower figure must be 2, 4, 8, 16, 32 or 64"
    if numerator >= denominator:
        more, rest = divmod(numerator, denominator)
        proper = f"{int(whole or 0) + more} {Fraction(rest, denominator)}" if rest else str(int(whole or 0) + more)
        return f"{written} is not less than one; if it is meant, write {proper}"
    return ""


def exact(number: float) -> Fraction:
    """Take a number from a cell as the decimal that a person sees, not as its binary neighbour."""
    return Fraction(Decimal(repr(round(number, 9))))
