"""The normal distribution, as far as it is needed here, from the error function of the standard library."""

from __future__ import annotations

import math
from statistics import NormalDist

#: Probabilities below this are taken as this.
_LEAST = 1e-300


def upper_tail(z: float) -> float:
    """Probability that a standard normal value exceeds z: erfc(z / sqrt 2) / 2."""
    return 0.5 * math.erfc(z / math.sqrt(2.0))


def two_sided(probability: float) -> float:
    """Standard normal value that is exceeded in size this often: z with 2 (1 - Phi(z)) = p, 0 where p is 1 or more."""
    return max(-NormalDist().inv_cdf(max(min(0.5 * probability, 0.5), _LEAST)), 0.0)


def unit_loss(t: float) -> float:
    """Mean by which a standard normal value exceeds t: phi(t) - t (1 - Phi(t))."""
    return math.exp(-0.5 * t * t) / math.sqrt(2.0 * math.pi) - t * upper_tail(t)


def beyond(limit: float, mean: float, sd: float) -> float:
    """Probability that a normal value of this mean and standard deviation lies outside -limit .. limit."""
    return upper_tail((limit - mean) / sd) + upper_tail((limit + mean) / sd)


def chi_square_limit(z: float, freedom: int) -> float:
    """Chi-square value that is exceeded as often as a standard normal value exceeds z in size.

    By the cube-root approximation of Wilson and Hilferty (1931), from memory: chi2 / f is about
    (1 - 2 / (9 f) + x sqrt(2 / (9 f)))^3 with x the one-sided normal value of the same rarity.

    Args:
        z: normal value, above 0.
        freedom: degrees of freedom f, 1 or more.

    Returns:
        The limit.
    """
    one_sided = -NormalDist().inv_cdf(max(2.0 * upper_tail(z), _LEAST))
    part = 2.0 / (9.0 * freedom)
    return float(freedom * (1.0 - part + one_sided * math.sqrt(part)) ** 3)
