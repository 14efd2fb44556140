"""Keeping labels apart: each as near to its place as the others allow."""

from __future__ import annotations

from collections.abc import Sequence


def spread(places: Sequence[float], apart: float) -> list[float]:
    """Move labels along a line so that neighbours keep a distance.

    Labels that would touch form a block which is centred on the mean of their places, as least squares would have it.

    Args:
        places: where the labels belong, rising.
        apart: least distance between neighbours.

    Returns:
        New places in the same order, each at least ``apart`` above the one before.
    """
    blocks: list[list[float]] = []  # sum of (place - offset in block), number of labels
    for place in places:
        blocks.append([place, 1])
        while len(blocks) > 1 and blocks[-2][0] / blocks[-2][1] + apart * blocks[-2][1] > blocks[-1][0] / blocks[-1][1]:
            total, count = blocks.pop()
            before = blocks[-1]
            before[0] += total - apart * before[1] * count
            before[1] += count
    moved: list[float] = []
    for total, count in blocks:
        moved += [total / count + apart * position for position in range(int(count))]
    return moved
