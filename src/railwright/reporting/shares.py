"""How sure a share is that was counted in few cases."""

from __future__ import annotations

from math import sqrt
from statistics import NormalDist


def share_range(found: int, of: int, confidence: float = 0.95) -> tuple[float, float]:
    """Give the range in which the true share lies: Wilson's score interval.

    Args:
        found: cases that were found, 0 to ``of``.
        of: all cases, at least 1.
        confidence: of the range, between 0 and 1.

    Returns:
        The two ends, between 0 and 1.

    Raises:
        ValueError: the numbers cannot be.

    Source: E. B. Wilson, Probable inference, the law of succession, and statistical inference, Journal of the American
    Statistical Association 22 (1927) 209-212 (from memory).
    """
    if not (of >= 1 and 0 <= found <= of and 0 < confidence < 1):
        raise ValueError(f"{found} of {of} at {confidence} is no share")
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    share = found / of
    middle = share + z * z / (2 * of)
    half = z * sqrt(share * (1 - share) / of + z * z / (4 * of * of))
    whole = 1 + z * z / of
    return max(0.0, (middle - half) / whole), min(1.0, (middle + half) / whole)
