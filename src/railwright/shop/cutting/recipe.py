"""Filling many bars by recipe: a small linear programme over classes of widths says which mixtures to saw.

Neighbouring widths make a class, its mean stands for all. The programme over the classes spends the narrow and
the wide pieces in the right proportion from the first bar to the last; the pieces themselves are then chosen from
their classes so that each bar is full.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Sequence
from math import floor

from railwright.shop.cutting.columns import Master, coarse, fresh_columns
from railwright.shop.cutting.heuristic import fill_counts
from railwright.shop.cutting.instance import Instance, Pattern, residual

_CLASSES = 60
_ROUNDS = 400


def classes_of(instance: Instance, number: int = _CLASSES) -> list[list[int]]:
    """Divide the pieces, listed by type from wide to narrow, into classes of about equal size."""
    items = [kind for kind, count in enumerate(instance.demand) for _ in range(count)]
    edges = [len(items) * part // number for part in range(number + 1)]
    return [items[low:high] for low, high in itertools.pairwise(edges) if low < high]


def recipes(instance: Instance, classes: Sequence[Sequence[int]]) -> list[Pattern]:
    """Solve the programme over the classes and return its whole bars, as patterns of classes.

    Args:
        instance: pieces and stock; the limits are the bars there are.
        classes: the types of the pieces of each class.

    Returns:
        The recipes, each as often as it is to be used.
    """
    means = [round(sum(instance.widths[kind] for kind in items) / len(items)) for items in classes]
    numbers = tuple(len(items) for items in classes)
    mixed = Instance(tuple(means), numbers, instance.rooms, instance.prices, instance.limit)
    master = Master(mixed)
    master.add(fill_counts(mixed, mixed.limit, 1))
    solution = master.solve()
    for _ in range(_ROUNDS):
        if not fresh_columns(master, solution, mixed.demand, [coarse(mixed)]):
            break
        solution = master.solve()
    shares = zip(master.patterns, solution.values, strict=True)
    return [pattern for pattern, share in shares for _ in range(floor(share + 1e-6))]


def fill_by_recipes(instance: Instance, keep: int, seed: int) -> list[Pattern]:
    """Fill bars by recipe, make new recipes for what is left, and so on until few pieces are left.

    Args:
        instance: pieces and stock; the limits are the bars there are.
        keep: stop when no more than this many pieces are left, or when the recipes give nothing more.
        seed: another order of the recipes each.

    Returns:
        The patterns of the bars that were filled.
    """
    patterns: list[Pattern] = []
    rest = instance
    while rest.pieces > keep:
        more = _once(rest, seed)
        if not more:
            break
        patterns += more
        rest = residual(rest, more)
    return patterns


def _once(instance: Instance, seed: int) -> list[Pattern]:
    """Fill the bars for which there are recipes now; the parts of bars in the programme are left."""
    classes = classes_of(instance)
    left = recipes(instance, classes)
    rng = random.Random(seed)
    rng.shuffle(left)
    stores = [list(items) for items in classes]
    for items in stores:
        rng.shuffle(items)
    room = sum(size * count for size, count in zip(instance.rooms, instance.limit, strict=True))
    spare = (room - instance.total) // (2 * max(1, sum(instance.limit)))
    patterns = []
    for stock, kinds in left:
        wanted = [mix for mix, count in kinds for _ in range(count)]
        chosen = _choose(instance, [stores[mix] for mix in wanted], instance.rooms[stock], max(0, spare))
        if chosen is None:
            continue
        for mix, kind in zip(wanted, chosen, strict=True):
            stores[mix].remove(kind)
        counts = {kind: chosen.count(kind) for kind in chosen}
        patterns.append((stock, tuple(sorted(counts.items()))))
    return patterns


def _choose(instance: Instance, stores: Sequence[Sequence[int]], room: int, slack: int) -> list[int] | None:
    """Choose one piece from each store so that together they fill the room, but for the slack at most.

    A store that occurs again lends another piece: the second of the same class is looked for further on.
    """
    mask = (1 << (room + 1)) - 1
    sums: list[int] = [1]
    steps: list[Sequence[int]] = []
    for place in range(len(stores)):
        offered = _share(stores, place)
        steps.append(offered)
        total = 0
        for kind in offered:
            total |= (sums[-1] << instance.widths[kind]) & mask
        sums.append(total)
    target = sums[-1].bit_length() - 1
    if target < room - slack:
        return None
    chosen: list[int] = []
    for place in range(len(stores) - 1, -1, -1):
        kind = next(
            kind
            for kind in steps[place]
            if target >= instance.widths[kind] and sums[place] >> (target - instance.widths[kind]) & 1
        )
        chosen.append(kind)
        target -= instance.widths[kind]
    return chosen[::-1]


def _share(stores: Sequence[Sequence[int]], place: int) -> Sequence[int]:
    """Give each place its own part of a store that is used several times, so no piece is taken twice."""
    same = [other for other, store in enumerate(stores) if store is stores[place]]
    return stores[place][same.index(place) :: len(same)]
