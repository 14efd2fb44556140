"""Good plans at once: best fit by falling width, and bars filled as full as can be.

Which sums of widths can be had is one long integer, bit s for the sum s; adding a width is one shift. That fills
a bar exactly, in microseconds a piece.
"""

from __future__ import annotations

import random
from bisect import bisect_left, insort
from collections.abc import Sequence

from railwright.shop.cutting.balance import fill_balanced
from railwright.shop.cutting.instance import Instance, Pattern


def best_fit(instance: Instance, counts: Sequence[int]) -> list[Pattern] | None:
    """Place the pieces by falling width, each where it leaves the least room.

    Args:
        instance: the pieces.
        counts: how many bars of each stock there are.

    Returns:
        The patterns, or ``None`` if some piece found no room.
    """
    open_bars = sorted((instance.rooms[k], bar) for bar, k in enumerate(_bars(counts)))
    content: dict[int, dict[int, int]] = {bar: {} for _, bar in open_bars}
    for kind, (width, demand) in enumerate(zip(instance.widths, instance.demand, strict=True)):
        for _ in range(demand):
            place = bisect_left(open_bars, (width, -1))
            if place == len(open_bars):
                return None
            room, bar = open_bars.pop(place)
            insort(open_bars, (room - width, bar))
            content[bar][kind] = content[bar].get(kind, 0) + 1
    stocks = _bars(counts)
    return [(stocks[bar], tuple(sorted(kinds.items()))) for bar, kinds in content.items() if kinds]


def _bars(counts: Sequence[int]) -> list[int]:
    """List the stock index of every single bar."""
    return [k for k, count in enumerate(counts) for _ in range(count)]


def fill_bars(
    instance: Instance, bars: Sequence[int], order: Sequence[int], seeds: Sequence[int] | None = None
) -> tuple[list[Pattern], list[int]]:
    """Fill bars one after the other: the widest piece that fits, then the company that leaves least room.

    Args:
        instance: the pieces.
        bars: stock index of each bar, in the order of filling.
        order: types in the order in which they are offered as company.
        seeds: types in the order in which they get a bar, in place of by falling width.

    Returns:
        The patterns of the bars used, and the pieces of each type that found no room.
    """
    left = list(instance.demand)
    patterns: list[Pattern] = []
    order = list(order)
    for stock in bars:
        chosen = fill_one(instance.widths, left, instance.rooms[stock], order, seeds)
        for kind, count in chosen:
            left[kind] -= count
        if chosen:
            order = [kind for kind in order if left[kind]]
            patterns.append((stock, chosen))
    return patterns, left


def fill_one(
    widths: Sequence[int], left: Sequence[int], room: int, order: Sequence[int], seeds: Sequence[int] | None = None
) -> tuple[tuple[int, int], ...]:
    """Choose the widest piece that fits a room, and company that fills the rest as far as can be.

    Args:
        widths: width of each type, falling.
        left: pieces of each type that may be used.
        room: the room to fill.
        order: types in the order in which they are offered as company.
        seeds: types in the order in which they get a bar, in place of by falling width.

    Returns:
        Pairs of type and count.
    """
    seed = next((kind for kind in seeds or range(len(widths)) if left[kind] and widths[kind] <= room), None)
    if seed is None:
        return ()
    space = room - widths[seed]
    mask = (1 << (space + 1)) - 1
    sums, steps = 1, []
    for kind in order:
        width = widths[kind]
        for _ in range(min(left[kind] - (kind == seed), space // width)):
            steps.append((kind, sums))
            sums |= (sums << width) & mask
        if sums >> space:
            break
    return _walk_back(widths, steps, sums.bit_length() - 1, seed)


def _walk_back(
    widths: Sequence[int], steps: list[tuple[int, int]], target: int, seed: int
) -> tuple[tuple[int, int], ...]:
    """Read from the stored sums which pieces make up the target."""
    chosen = {seed: 1}
    for kind, before in reversed(steps):
        if not before >> target & 1:
            target -= widths[kind]
            chosen[kind] = chosen.get(kind, 0) + 1
    return tuple(sorted(chosen.items()))


def company_orders(kinds: int, tries: int) -> list[list[int]]:
    """List orders in which pieces are offered as company: the widest first, then shuffles that never change.

    Company drawn from everywhere keeps wide and narrow pieces in balance to the last bar.

    Args:
        kinds: how many types there are.
        tries: how many orders.

    Returns:
        The orders.
    """
    orders = [list(range(kinds))]
    for seed in range(1, tries):
        order = list(range(kinds))
        random.Random(seed).shuffle(order)
        orders.append(order)
    return orders


#: Above this many types, bars are filled in balance, not each as full as can be.
_MANY = 260


def fill_counts(instance: Instance, counts: Sequence[int], tries: int = 4) -> list[Pattern]:
    """Place the pieces into given bars, all of them if simple means can.

    Args:
        instance: the pieces.
        counts: how many bars of each stock there are.
        tries: how many orders of company to try.

    Returns:
        The patterns; of the tries that leave pieces over, the one that leaves the least width.
    """
    fitted = best_fit(instance, counts)
    if fitted is not None:
        return fitted
    if len(instance.widths) > _MANY:
        return fill_balanced(instance, counts, 0, 0)
    bars = sorted(_bars(counts), key=lambda k: (instance.prices[k], instance.rooms[k]))
    best: tuple[int, list[Pattern]] | None = None
    for order in company_orders(len(instance.widths), tries):
        patterns, left = fill_bars(instance, bars, order)
        over = sum(width * count for width, count in zip(instance.widths, left, strict=True))
        if best is None or over < best[0]:
            best = (over, patterns)
        if not over:
            break
    return best[1] if best else []
