"""Bounds from integer weights.

Give every type an integer weight u. A bar is worth v, the greatest weight that fits into it. Bars that hold all
pieces are together worth at least the weight D of all pieces: sum of n_k v_k >= D for the counts n_k of the
bars. Several weightings together bound the money: the cheapest whole counts that satisfy all of them.

The weightings used at once, before any linear programme, are dual feasible functions: the widths themselves;
Martello and Toth's L2 (Knapsack Problems, 1990, ch. 8); the rounding functions of Fekete and Schepers
(Math. Programming 91, 2001). From memory, all three; nothing rests on them, because a bar's worth is always
computed anew by dynamic programming.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import gcd

import numpy as np
from numpy.typing import NDArray

from railwright.shop.cutting.instance import Instance

Weights = tuple[int, ...]
_THRESHOLDS = 150
_STAIRS = 12
#: With more prices than these, counts are not searched for every new weighting.
_FEW_PRICES = 2
_COUNT_STEPS = 40_000
_MONEY_UNITS = 2_000_000


@dataclass(frozen=True, slots=True)
class Need:
    """One weighting: the weight of all pieces and what one bar of each stock is worth."""

    weights: Weights
    total: int
    worth: tuple[int, ...]


def split_counts(count: int) -> list[int]:
    """Split a count into parts of which every smaller count is a sum (1, 2, 4, ..., rest)."""
    parts, power = [], 1
    while count > 0:
        parts.append(min(power, count))
        count -= parts[-1]
        power *= 2
    return parts


def best_values(instance: Instance, weights: Sequence[int], room: int) -> NDArray[np.int64]:
    """Compute the greatest weight that fits into each room from 0 to ``room``.

    Args:
        instance: widths and demands; no type is taken more often than it is wanted.
        weights: integer weight of each type.
        room: the largest room.

    Returns:
        Array of length ``room + 1``.
    """
    best = np.zeros(room + 1, dtype=np.int64)
    for width, count, weight in zip(instance.widths, instance.demand, weights, strict=True):
        if weight <= 0 or width > room:
            continue
        for part in split_counts(min(count, room // width)):
            if part * width <= room:
                np.maximum(best[part * width :], best[: -part * width] + part * weight, out=best[part * width :])
    return best


def need_of(instance: Instance, weights: Weights) -> Need:
    """Evaluate one weighting by dynamic programming over the room."""
    best = best_values(instance, weights, max(instance.rooms, default=0))
    total = sum(weight * count for weight, count in zip(weights, instance.demand, strict=True))
    return Need(weights, total, tuple(int(best[room]) for room in instance.rooms))


def quick_weights(instance: Instance) -> list[Weights]:
    """Choose promising weightings without a linear programme: the widths, all of them or only those
    too wide for a room, and the best stairs for each room."""
    chosen = [instance.widths]
    for room in sorted(set(instance.rooms)):
        chosen.append(tuple(width if width > room else 0 for width in instance.widths))
    for room in sorted(set(instance.rooms), reverse=True)[:3]:
        chosen += _best_stairs(instance, room)
    return [weights for weights in dict.fromkeys(chosen) if any(weights)]


def _best_stairs(instance: Instance, room: int) -> list[Weights]:
    """Return the two functions that promise the most bars of one room."""
    widths = np.asarray(instance.widths, dtype=np.int64)
    demand = np.asarray(instance.demand, dtype=np.int64)
    ranked: list[tuple[float, Weights]] = []
    for table, worth in _stairs(widths, room):
        promise = (table @ demand) / worth
        row = int(np.argmax(promise))
        ranked.append((float(promise[row]), tuple(int(weight) for weight in table[row])))
    ranked.sort(key=lambda entry: -entry[0])
    return [weights for _, weights in ranked[:2]]


def _thresholds(widths: NDArray[np.int64], room: int) -> NDArray[np.int64]:
    """Choose the thresholds worth trying: the widths up to half the room and the rests of the others."""
    values = np.unique(np.concatenate([widths[2 * widths <= room], room - widths[2 * widths > room] + 1]))
    values = values[(values > 0) & (2 * values <= room)]
    step = max(1, -(-len(values) // _THRESHOLDS))
    return values[::step]


def _stairs(widths: NDArray[np.int64], room: int) -> Iterator[tuple[NDArray[np.int64], NDArray[np.int64]]]:
    """Yield tables of weights, a row a function, with the worth of the room in each row."""
    small = _thresholds(widths, room)
    wide = [_cut_off(widths, room, small), _halves(widths, room, small)] if len(small) else []
    yield from wide
    for k in range(1, _STAIRS):
        yield _rounded(widths, room, k)[None, :], np.asarray([k * room])
        for table, worth in wide[:1]:
            yield _rounded(table, room, k), worth * k


def _cut_off(
    widths: NDArray[np.int64], room: int, small: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """L2: what leaves less than the threshold fills the room, what is below the threshold counts nothing."""
    threshold = small[:, None]
    table = np.where(widths > room - threshold, room, np.where(widths < threshold, 0, widths))
    return table, np.full(len(small), room)


def _halves(
    widths: NDArray[np.int64], room: int, small: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Count how often the threshold goes in: down below half the room, up above, the middle between."""
    threshold = small[:, None]
    full = room // threshold
    above = 2 * (full - (room - widths) // threshold)
    table = np.where(2 * widths > room, above, np.where(2 * widths == room, full, 2 * (widths // threshold)))
    return np.where(widths <= room, table, 0), 2 * full[:, 0]


def _rounded(widths: NDArray[np.int64], room: int, k: int) -> NDArray[np.int64]:
    """Round to the k-th stairs: the part of the room in k + 1 steps; widths just on a step keep their place."""
    steps = (k + 1) * widths
    return np.where(steps % room == 0, k * widths, steps // room * room)


def cheapest(instance: Instance, needs: Sequence[Need]) -> int:
    """Return the money that whole bars cost at least under these needs, in cents; a certified bound.

    With one or two prices all needs are met together; with more, each alone: that is enough in nearly every case
    and takes no search.
    """
    if sum(price > 0 for price in set(instance.prices)) > _FEW_PRICES:
        return floor_of(instance, needs)
    return bound_and_counts(instance, needs, None, 1)[0]


def floor_of(instance: Instance, needs: Sequence[Need]) -> int:
    """Return the greatest money that some need alone demands, in cents."""
    paid = [k for k, price in enumerate(instance.prices) if price > 0 and instance.limit[k] > 0]
    prices = tuple(instance.prices[k] for k in paid)
    rests = _rests(instance, needs)
    return max(
        (
            least_money_for(rest, prices, tuple(need.worth[k] for k in paid))
            for rest, need in zip(rests, needs, strict=True)
        ),
        default=0,
    )


def _rests(instance: Instance, needs: Sequence[Need]) -> list[int]:
    """Return what each need still demands when all bars that cost nothing are used."""
    free = [k for k, price in enumerate(instance.prices) if price == 0]
    return [need.total - sum(need.worth[k] * instance.limit[k] for k in free) for need in needs]


@lru_cache(maxsize=4096)
def least_money_for(rest: int, prices: tuple[int, ...], worths: tuple[int, ...]) -> int:
    """Find the least money that buys a given worth, as if every bar could be had without limit.

    Args:
        rest: the worth wanted.
        prices: price of each stock, above zero.
        worths: what one bar of each stock is worth.

    Returns:
        The money in cents, or a lower bound on it where the table would be too long; 0 if nothing is worth
        anything.
    """
    useful = sorted({(price, worth) for price, worth in zip(prices, worths, strict=True) if worth > 0})
    if rest <= 0 or not useful:
        return 0
    unit = gcd(*(price for price, _ in useful))
    least = min(-(-rest * price // worth) for price, worth in useful)
    most = min(price * -(-rest // worth) for price, worth in useful)
    if len(useful) == 1 or most // unit > _MONEY_UNITS:
        return most if len(useful) == 1 else -(-least // unit) * unit
    best = np.zeros(most // unit + 1, dtype=np.int64)
    for price, worth in useful:
        step = price // unit
        for start in range(step, len(best), step):
            part = best[start : start + step]
            np.maximum(part, best[start - step : start - step + len(part)] + worth, out=part)
    return int(np.searchsorted(best, rest)) * unit


def bound_and_counts(
    instance: Instance, needs: Sequence[Need], below: int | None, most: int
) -> tuple[int, list[tuple[int, tuple[int, ...]]]]:
    """Return the bound on the money under all needs together, and the cheapest counts that satisfy them.

    Args:
        instance: stock with prices and limits.
        needs: the weightings.
        below: leave out counts that cost this or more; ``None`` for no limit.
        most: list at most this many counts.

    Returns:
        The bound in cents, at most ``below``; pairs of money and counts, cheapest first. Bars that cost nothing are
        always all counted in: they can only help.
    """
    paid = [k for k, price in enumerate(instance.prices) if price > 0 and instance.limit[k] > 0]
    base = [limit if price == 0 else 0 for price, limit in zip(instance.prices, instance.limit, strict=True)]
    floor = floor_of(instance, needs) if len(paid) > _FEW_PRICES else 0
    search = _CountSearch(instance, needs, paid, below, most, floor)
    search.run(0, 0, _rests(instance, needs), base)
    top = floor if below is None else min(floor, below)
    if search.steps > _COUNT_STEPS:
        return top, search.found
    return (search.found[0][0] if search.found else below or top), search.found


def counts_below(
    instance: Instance, needs: Sequence[Need], below: int | None, most: int
) -> list[tuple[int, tuple[int, ...]]]:
    """List counts of bars that satisfy every need, cheapest first.

    Bars that cost nothing are always all counted in: they can only help.

    Args:
        instance: stock with prices and limits.
        needs: the weightings.
        below: leave out counts that cost this or more; ``None`` for no limit.
        most: list at most this many.

    Returns:
        Pairs of money in cents and count of each stock, minimal in the last stock that was chosen.
    """
    return bound_and_counts(instance, needs, below, most)[1]


class _CountSearch:
    """Depth-first search over the counts of the stocks that cost money; keeps the cheapest ``most``."""

    def __init__(
        self, instance: Instance, needs: Sequence[Need], paid: list[int], below: int | None, most: int, floor: int
    ) -> None:
        """Order the stocks by worth for money; nothing costs less than ``floor``."""
        self.prices, self.limit, self.needs, self.most = instance.prices, instance.limit, needs, most
        worth_a_cent = {k: needs[0].worth[k] / instance.prices[k] if needs else 0.0 for k in paid}
        self.order = sorted(paid, key=lambda k: (-worth_a_cent[k], k))
        self.below = below
        self.found: list[tuple[int, tuple[int, ...]]] = []
        self.floor, self.steps = floor, 0

    def run(self, place: int, cents: int, rest: list[int], counts: list[int]) -> None:
        """Try the counts of the stock at one place, many bars first."""
        self.steps += 1
        if self.steps > _COUNT_STEPS or self.hopeless(place, cents, rest):
            return
        if max(rest, default=0) <= 0:
            self.keep(cents, counts)
            return
        if place == len(self.order):
            return
        k = self.order[place]
        most = min(self.limit[k], self.enough(k, rest))
        least = most if place + 1 == len(self.order) else 0
        for count in range(most, least - 1, -1):
            left = [value - count * need.worth[k] for value, need in zip(rest, self.needs, strict=True)]
            counts[k] = count
            self.run(place + 1, cents + count * self.prices[k], left, counts)
        counts[k] = 0

    def enough(self, k: int, rest: list[int]) -> int:
        """Return how many bars of stock k alone would satisfy every need they can."""
        pairs = zip(rest, (need.worth[k] for need in self.needs), strict=True)
        return max((-(-value // worth) for value, worth in pairs if value > 0 and worth > 0), default=0)

    def hopeless(self, place: int, cents: int, rest: list[int]) -> bool:
        """Say whether even fractions of the remaining stocks cost too much for some need."""
        if self.below is None:
            return False
        if cents >= self.below or self.floor >= self.below:
            return True
        left = self.order[place:]
        for value, need in zip(rest, self.needs, strict=True):
            if value > 0 and all(value * self.prices[k] >= (self.below - cents) * need.worth[k] for k in left):
                return True
        return False

    def keep(self, cents: int, counts: list[int]) -> None:
        """Note counts that satisfy everything."""
        self.found.append((cents, tuple(counts)))
        self.found.sort()
        del self.found[self.most :]
        if len(self.found) == self.most:
            worst = self.found[-1][0]
            self.below = worst if self.below is None else min(self.below, worst)
