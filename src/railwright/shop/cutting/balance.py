"""Filling many bars so that the last ones are as easy as the first.

A bar filled with whatever fits best uses up the narrow pieces too early. Here every bar takes the widest piece,
and as many others as keep the mean width of what is left where it was; they are drawn from all widths. The room
that nobody needs is shared out, so a bar need not be quite full. The last pieces are left to better means.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence

from railwright.shop.cutting.instance import Instance, Pattern

#: Above this many pieces a bar, number does not matter: any company fills a bar well.
_COUNTED = 10

_Levels = tuple[int, ...]


def fill_balanced(instance: Instance, counts: Sequence[int], keep: int, seed: int) -> list[Pattern]:
    """Fill bars until few pieces are left.

    Args:
        instance: the pieces and the stock.
        counts: how many bars of each stock there are.
        keep: stop when no more than this many pieces are left.
        seed: another drawing of the company each.

    Returns:
        The patterns of the bars that were filled.
    """
    state = _State(instance, counts, seed)
    patterns: list[Pattern] = []
    while state.bars and len(state.items) > keep:
        stock = state.bars.pop(0)
        chosen = state.fill_free(stock) if instance.prices[stock] == 0 else state.fill_bought(stock)
        if chosen:
            state.remove(chosen)
            patterns.append((stock, tuple(sorted(chosen.items()))))
    return patterns


class _State:
    """The pieces and bars that are left while bars are filled."""

    def __init__(self, instance: Instance, counts: Sequence[int], seed: int) -> None:
        """Line up the bars, those that cost nothing first, and shuffle the pieces."""
        self.widths, self.rooms = instance.widths, instance.rooms
        self.items = [kind for kind, count in enumerate(instance.demand) for _ in range(count)]
        self.left = list(instance.demand)
        self.width = instance.total
        self.extremes = seed % 4 == 3
        random.Random(seed).shuffle(self.items)
        self.bars = [k for k, count in enumerate(counts) for _ in range(count)]
        self.bars.sort(key=lambda k: (instance.prices[k] > 0, instance.rooms[k], k))
        self.room = sum(instance.rooms[k] for k in self.bars)

    def slack(self, stock: int) -> int:
        """Share out half the room nobody needs; the bar is taken out of the account."""
        share = (self.room - self.width) // (2 * (len(self.bars) + 1))
        self.room -= self.rooms[stock]
        return max(0, share)

    def fill_free(self, stock: int) -> dict[int, int]:
        """Fill an offcut as far as can be: what it holds need not be bought."""
        return _company(self.widths, self.items, self.rooms[stock], 0, min(1, self.slack(stock)))

    def fill_bought(self, stock: int) -> dict[int, int]:
        """Put the widest piece on a bar, and so many others that the mean width of the rest stays.

        In every other drawing the narrowest piece goes with the widest: what is left then draws together.
        """
        size = self.rooms[stock]
        first = next((k for k, n in enumerate(self.left) if n and self.widths[k] <= size), None)
        if first is None:
            return {}
        slack = self.slack(stock)
        wanted = int(size * len(self.items) / self.width + 1 / (len(self.bars) + 1)) - 1
        # so many pieces must be able to fill the bar: the first one is the widest there is
        wanted = max(wanted, -(-(size - slack) // self.widths[first]) - 1)
        fixed = [first]
        narrowest = max(k for k, n in enumerate(self.left) if n)
        room_for_both = self.widths[first] + self.widths[narrowest] <= size and len(self.items) > 1
        if self.extremes and room_for_both and 2 <= wanted <= _COUNTED:
            fixed.append(narrowest)
        space = size - sum(self.widths[kind] for kind in fixed)
        others = list(self.items)
        for kind in fixed:
            others.remove(kind)
        chosen = _company(self.widths, others, space, wanted + 1 - len(fixed), slack)
        return dict(Counter(chosen) + Counter(fixed))

    def remove(self, chosen: dict[int, int]) -> None:
        """Take the chosen pieces out."""
        self.width -= sum(self.widths[kind] * count for kind, count in chosen.items())
        for kind, count in chosen.items():
            self.left[kind] -= count
            for _ in range(count):
                self.items.remove(kind)


def _company(widths: Sequence[int], items: Sequence[int], space: int, wanted: int, slack: int) -> dict[int, int]:
    """Choose pieces that fill a space but for the slack, of the wanted number if that can be.

    Which sums can be had with how many pieces is one long integer a number, bit s for the sum s.
    """
    if wanted <= 0 and space - slack <= 0:
        return {}
    counted = 0 < wanted <= _COUNTED
    mask, enough = (1 << (space + 1)) - 1, max(0, space - slack)
    sums: _Levels = (1, *([0] * (wanted + 1 if counted else 0)))
    steps: list[tuple[int, _Levels]] = []
    for kind in items:
        shift = widths[kind]
        if shift > space:
            continue
        steps.append((kind, sums))
        if counted:
            sums = (1, *(sums[k] | (sums[k - 1] << shift) & mask for k in range(1, len(sums))))
        else:
            sums = (sums[0] | (sums[0] << shift) & mask,)
        if sums[wanted if counted else 0] >> enough:
            break
    level = max(range(len(sums)), key=lambda k: (min(sums[k].bit_length() - 1, enough), -abs(k - wanted)))
    return _trace(widths, steps, level, sums[level].bit_length() - 1, counted)


def _trace(
    widths: Sequence[int], steps: Sequence[tuple[int, _Levels]], level: int, target: int, counted: bool
) -> dict[int, int]:
    """Read from the stored sums which pieces make up the target."""
    chosen: dict[int, int] = {}
    for kind, before in reversed(steps):
        if not before[level] >> target & 1:
            target -= widths[kind]
            level -= counted
            chosen[kind] = chosen.get(kind, 0) + 1
    return chosen
