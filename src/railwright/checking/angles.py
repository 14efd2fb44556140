"""What two angle readings say of each other."""

from __future__ import annotations


def mirrored(first_deg: float, second_deg: float, spread_deg: float) -> bool:
    """Tell whether two readings disagree, but would agree if one had been read from the other side."""
    return abs(first_deg - second_deg) > spread_deg and abs(first_deg + second_deg - 180) <= spread_deg
