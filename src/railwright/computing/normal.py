"""The normal distribution, as far as it is needed here, from the error function of the standard library."""

from __future__ import annotations

import math


def upper_tail(z: float) -> float:
    """Probability that a standard normal value exceeds z: erfc(z / sqrt 2) / 2."""
    return 0.5 * math.erfc(z / math.sqrt(2.0))


def beyond(limit: float, mean: float, sd: float) -> float:
    """Probability that a normal value of this mean and standard deviation lies outside -limit .. limit."""
    return upper_tail((limit - mean) / sd) + upper_tail((limit + mean) / sd)
