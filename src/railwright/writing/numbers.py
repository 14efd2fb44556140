"""How figures are spelled on everything that the tool writes: a point for the decimals, no needless noughts."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache


@lru_cache(maxsize=4_096)  # the same sizes of the shop book stand on every page and drawing
def plain(value: float | Decimal, places: int = 1) -> str:
    """Spell a number with at most so many decimals, halves away from zero.

    Args:
        value: any finite number.
        places: decimals at most; trailing noughts are left out.

    Returns:
        For example ``12``, ``12.5`` or ``-0.3``; never ``-0``.
    """
    rounded = Decimal(str(value)).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    text = f"{rounded:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


@lru_cache(maxsize=4_096)  # drawings spell the same sizes many times
def fixed(value: float | Decimal, places: int = 1) -> str:
    """Spell a number with exactly so many decimals, halves away from zero; never ``-0.0``."""
    text = f"{Decimal(str(value)).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP):f}"
    return text.lstrip("-") if not text.strip("-0.") else text


def money(value: Decimal | float | None, currency: str = "") -> str:
    """Spell an amount with two decimals and thousands apart; ``no price`` where there is none."""
    if value is None:
        return "no price"
    amount = Decimal(str(value)).quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
    return f"{amount:,.2f} {currency}".strip().replace(",", " ")


def several(count: int, word: str, plural: str = "") -> str:
    """Spell a count with its word: ``1 bar``, ``3 bars``."""
    return f"{count} {word if count == 1 else plural or word + 's'}"
