"""Good plans at once: best fit by falling width, and bars filled as full as can be.

Which sums of widths can be had is one long integer, bit s for the sum s; adding a width is one shift. That fills
a bar exactly, in microseconds a piece.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Sequence

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
    instance: Instance, bars: Sequence[int], order: Sequence[int], seed_widest: bool = True
) -> tuple[list[Pattern], list[int]]:
    """Fill bars one after the other, each as full as the pieces left allow.

    Args:
        instance: the pieces.
        bars: stock index of each bar, in the order of filling.
        order: types, those first that should be used up first.
        seed_widest: every bar takes the first piece of the order that fits it, then the best company for it.

    Returns:
        The patterns of the bars used, and the pieces of each type that found no room.
    """
    left = list(instance.demand)
    patterns: list[Pattern] = []
    for stock in bars:
        chosen = fill_one(instance.widths, left, instance.rooms[stock], order, seed_widest)
        for kind, count in chosen:
            left[kind] -= count
        if chosen:
            patterns.append((stock, chosen))
    return patterns, left


def fill_one(
    widths: Sequence[int], left: Sequence[int], room: int, order: Sequence[int], seed_widest: bool
) -> tuple[tuple[int, int], ...]:
    """Choose pieces that fill one room as far as can be, those early in the order preferred.

    Args:
        widths: width of each type.
        left: pieces of each type that may be used.
        room: the room to fill.
        order: types in the order of preference.
        seed_widest: take the first piece that fits in any case.

    Returns:
        Pairs of type and count.
    """
    seed = next((kind for kind in order if left[kind] and widths[kind] <= room), None)
    if seed is None:
        return ()
    base = widths[seed] if seed_widest else 0
    space = room - base
    mask = (1 << (space + 1)) - 1
    sums, steps = 1, []
    for kind in order:
        width = widths[kind]
        for _ in range(min(left[kind] - (seed_widest and kind == seed), space // width if width else 0)):
            steps.append((kind, sums))
            sums |= (sums << width) & mask
        if sums >> space:
            break
    return _walk_back(widths, steps, sums.bit_length() - 1, seed if seed_widest else None)


def _walk_back(
    widths: Sequence[int], steps: list[tuple[int, int]], target: int, seed: int | None
) -> tuple[tuple[int, int], ...]:
    """Read from the stored sums which pieces make up the target."""
    chosen = {} if seed is None else {seed: 1}
    for kind, before in reversed(steps):
        if not before >> target & 1:
            target -= widths[kind]
            chosen[kind] = chosen.get(kind, 0) + 1
    return tuple(sorted(chosen.items()))
