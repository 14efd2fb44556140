"""One spelling for the many signs that look alike: spaces, dashes, primes, quote marks and fraction characters."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

#: Nothing that answers a question with a number or one word is longer.
LONGEST_ANSWER = 60

_INVISIBLE = "\u200b\u200c\u200d\u200e\u200f\u2060\ufeff\u00ad"
_DASHES = "\u2010\u2011\u2012\u2013\u2014\u2212\ufe63\uff0d"
_DOUBLE = "\u2033\u201c\u201d\u201e\u201f\u02ba\u3003\uff02\u2036"
_SINGLE = "\u2032\u2019\u2018\u201a\u201b\u02b9\u00b4\u0060\uff07\u2035\u02bc"
_SLASHES = "\u2044\u2215\uff0f"
_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉", "01234567890123456789")
_BUILT_FRACTION = re.compile(r"([⁰¹²³⁴⁵⁶⁷⁸⁹]+) ?/ ?([₀₁₂₃₄₅₆₇₈₉]+)")


@lru_cache(maxsize=1)
def _signs() -> dict[int, str]:
    table = dict.fromkeys(map(ord, _INVISIBLE), "")
    table |= dict.fromkeys(map(ord, _DASHES), "-")
    table |= dict.fromkeys(map(ord, _DOUBLE), '"')
    table |= dict.fromkeys(map(ord, _SINGLE), "'")
    table |= dict.fromkeys(map(ord, _SLASHES), "/")
    table |= {0xFF10 + n: str(n) for n in range(10)}
    return table


# The same few answers come back in every file of a run.
@lru_cache(maxsize=4096)
def plain(text: str) -> str:
    """Write a short answer with plain signs only.

    Fraction characters become figures with a space before them, so that ``12⅛`` is ``12 1/8`` and not ``121/8``; two
    single primes become a double one; every kind of space is one plain space.

    Args:
        text: What stands in the cell.

    Returns:
        The same answer without outer spaces, in lower case.
    """
    signs = "".join(_fraction_spelled_out(sign) for sign in text.translate(_signs()))
    built = _BUILT_FRACTION.sub(lambda match: " " + match.group().translate(_RAISED), signs)
    return " ".join(built.replace("''", '"').casefold().split())


def plain_answer(text: str) -> str | None:
    """Write a short answer with plain signs only; ``None`` for a text too long to be an answer."""
    if len(text) > 4 * LONGEST_ANSWER:
        return None
    written = plain(text)
    return written if len(written) <= LONGEST_ANSWER else None


def _fraction_spelled_out(sign: str) -> str:
    """Turn one fraction character into figures; its decomposition is marked so in the Unicode character database."""
    if sign.isascii() or not unicodedata.decomposition(sign).startswith("<fraction>"):
        return sign
    return " " + unicodedata.normalize("NFKC", sign).replace("\u2044", "/")
