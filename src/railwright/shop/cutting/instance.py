"""The same question without kerf and trim: widths that go into rooms.

A piece takes ``length + kerf``, a bar offers ``length - trim + kerf``: the last piece of a bar needs no cut
after it. Pieces of one length are one type, whatever their label or saw setting.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from railwright.shop.cutting.model import Piece, Stock

#: One bar: the index of its stock, and how many pieces of each type are on it, as (type, count) pairs.
Pattern = tuple[int, tuple[tuple[int, int], ...]]


@dataclass(frozen=True, slots=True)
class Instance:
    """Types of pieces by falling width, and stock with room and price.

    ``limit`` is the number of bars of each stock that could ever be used.
    """

    widths: tuple[int, ...]
    demand: tuple[int, ...]
    rooms: tuple[int, ...]
    prices: tuple[int, ...]
    limit: tuple[int, ...]

    @property
    def pieces(self) -> int:
        """How many pieces there are."""
        return sum(self.demand)

    @property
    def total(self) -> int:
        """The width of all pieces together."""
        return sum(width * count for width, count in zip(self.widths, self.demand, strict=True))


def make_instance(lengths: Sequence[int], stock: Sequence[Stock], kerf: int, trim: int) -> Instance:
    """Fold kerf and trim into widths and rooms.

    Args:
        lengths: piece lengths in tenths of a millimetre, each fitting some stock.
        stock: bars and offcuts to be had.
        kerf: width of one cut.
        trim: end trim, taken once a bar.

    Returns:
        The instance; a bar that is bought without limit is limited to one a piece.
    """
    counts = sorted(Counter(lengths).items(), reverse=True)
    limit = [len(lengths) if bar.available is None else min(bar.available, len(lengths)) for bar in stock]
    return Instance(
        widths=tuple(length + kerf for length, _ in counts),
        demand=tuple(count for _, count in counts),
        rooms=tuple(max(0, bar.length - trim + kerf) for bar in stock),
        prices=tuple(bar.price for bar in stock),
        limit=tuple(max(0, count) for count in limit),
    )


def fits_some(piece: Piece, stock: Sequence[Stock], kerf: int, trim: int) -> bool:
    """Say whether a piece of positive length fits at least one bar that is to be had."""
    rooms = (bar.length - trim for bar in stock if bar.available is None or bar.available > 0)
    return piece.length > 0 and any(piece.length <= room for room in rooms)


def pattern_cost(patterns: Sequence[Pattern], instance: Instance) -> int:
    """Add up the prices of the bars of some patterns, in cents."""
    return sum(instance.prices[stock] for stock, _ in patterns)


def residual(instance: Instance, patterns: Sequence[Pattern]) -> Instance:
    """Return the instance of the pieces and bars that some patterns leave."""
    demand, limit = list(instance.demand), list(instance.limit)
    for stock, kinds in patterns:
        limit[stock] -= 1
        for kind, count in kinds:
            demand[kind] -= count
    return Instance(instance.widths, tuple(demand), instance.rooms, instance.prices, tuple(limit))
