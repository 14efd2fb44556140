"""The hand lever: what all segments together ask of the hand, and which lifts ask least where it is too much.

Virtual work: while the links move by one stroke, every segment is raised by its lift against its pressing force, and
the hand moves ``lever_ratio`` times the stroke.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Choice(NamedTuple):
    """One way to make a segment: its cost, its work (pressing force times lift, N mm), and its place in the list."""

    cost: float
    work: float
    place: int


def lever_force(works: Sequence[float], stroke_mm: float, ratio: float) -> float:
    """Force at the lever: sum of pressing force x lift over (stroke x ratio), N.

    Args:
        works: pressing force times lift of every segment, N mm.
        stroke_mm: stroke of the links, mm.
        ratio: travel of the hand over the stroke.

    Returns:
        The force, N.
    """
    return sum(works) / (stroke_mm * ratio)


def lightest_cost(ways: Sequence[Sequence[Choice]], most_work: float) -> tuple[int, ...] | None:
    """Choose one way for every segment, at least cost with no more work than allowed.

    Exact: segment by segment, only sums are kept that no other undercuts in both cost and work.

    Args:
        ways: for every segment the ways to make it.
        most_work: what the lever allows, N mm.

    Returns:
        The place of the chosen way of every segment; ``None`` where no combination is light enough.
    """
    sums: list[tuple[float, float, tuple[int, ...]]] = [(0.0, 0.0, ())]
    for choices in ways:
        grown = sorted(
            (round(cost + way.cost, 6), work + way.work, (*chosen, way.place))
            for cost, work, chosen in sums
            for way in choices
        )
        sums = _undercut(grown)
    light = [entry for entry in sums if entry[1] <= most_work + 1e-9]
    return min(light)[2] if light else None


def _undercut(entries: list[tuple[float, float, tuple[int, ...]]]) -> list[tuple[float, float, tuple[int, ...]]]:
    """Keep of sums in rising cost those that need less work than every cheaper one."""
    kept: list[tuple[float, float, tuple[int, ...]]] = []
    for entry in entries:
        if not kept or entry[1] < kept[-1][1] - 1e-12:
            kept.append(entry)
    return kept
