"""Gaps at rest eased within the doubt of their readings, for a section that cannot be levelled as it was read.

A gap read to 1/8 in tilts by a whole step through rounding alone, and shims that level such a tilt may lift the segment
into the strings. Where a clear gauge was tried as well, it says where the gap lies much more surely than the reading.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from railwright.book.model import ShopBook
from railwright.computing.heights import EndHeights, Heights, rest_from_gauge, swing_of, swing_u, u_rest_from_gauge
from railwright.survey.records import Register


@dataclass(frozen=True, slots=True)
class Easing:
    """Eased heights beside those read.

    ``settled`` says whether clear gauges at both ends bear them out and leave no more doubt than the link trims.
    """

    as_read: Heights
    heights: Heights
    settled: bool


def weighted_mean(one: float, u_one: float, two: float, u_two: float) -> tuple[float, float]:
    """Mean of two independent estimates weighted by 1/u^2, and its standard uncertainty (1/u1^2 + 1/u2^2)^(-1/2).

    The best linear unbiased estimate of one quantity from two (Gauss and Markov).

    Args:
        one: first estimate, any unit.
        u_one: its standard uncertainty, above 0.
        two: second estimate.
        u_two: its standard uncertainty, above 0.

    Returns:
        Mean and standard uncertainty, in the same unit.
    """
    weight_one, weight_two = u_one**-2, u_two**-2
    whole = weight_one + weight_two
    return (weight_one * one + weight_two * two) / whole, whole**-0.5


def easing_of(heights: Heights, register: Register, book: ShopBook) -> Easing | None:
    """Ease the gaps at rest of a section within their doubt.

    An end with a clear gauge takes the weighted mean of what was read and what the gauge says, if the two agree; an end
    without moves towards the other end's level, by no more than its own guard. Free heights stay as they were read.

    Args:
        heights: as read.
        register: gives the swing that the gauge allows for.
        book: gives gauge step, swing, guard factor, and what counts as agreeing.

    Returns:
        The eased heights; ``None`` where no gap moves.
    """
    low, high = (_with_gauge(end, register, book) for end in (heights.low, heights.high))
    eased = Heights(_towards(low, high, book), _towards(high, low, book))
    if not (eased.low.eased_mm or eased.high.eased_mm):
        return None
    doubt = book.value("z_p") * max(eased.low.u_rest_mm, eased.high.u_rest_mm)
    sure = all(_settled(end) for end in (eased.low, eased.high))
    return Easing(heights, eased, sure and doubt <= book.value("trim") + 1e-9)


def _with_gauge(end: EndHeights, register: Register, book: ShopBook) -> EndHeights:
    """Combine a reading with a clear gauge at the same end; as it is where one of them is missing or they disagree."""
    if not _read_and_gauged(end):
        return end
    step = book.value("gauge_step")
    gap = rest_from_gauge(end.free_mm, swing_of(register, book), step)
    u = u_rest_from_gauge(swing_u(register, book), step)
    if abs(gap - end.rest_mm) > book.value("slip_k") * math.hypot(u, end.u_rest_mm):
        return end
    mean, u_mean = weighted_mean(end.rest_mm, end.u_rest_mm, gap, u)
    return replace(end, rest_mm=mean, u_rest_mm=u_mean, eased_mm=mean - end.rest_mm)


def _towards(end: EndHeights, other: EndHeights, book: ShopBook) -> EndHeights:
    """Move the reading of an end without a clear gauge towards the level of the other end, within its guard."""
    if end.gauged:
        return end
    level = other.rest_mm
    if not other.gauged:
        level, _ = weighted_mean(end.rest_mm, end.u_rest_mm, other.rest_mm, other.u_rest_mm)
    most = book.value("z_p") * end.u_rest_mm
    move = min(max(level - end.rest_mm, -most), most)
    return replace(end, rest_mm=end.rest_mm + move, eased_mm=move)


def _read_and_gauged(end: EndHeights) -> bool:
    return end.gauged and end.rest_field != end.free_field


def _settled(end: EndHeights) -> bool:
    """Say whether a clear gauge bears out the gap at an end: it moved, or it came from the gauge alone."""
    return end.gauged and (end.eased_mm != 0.0 or end.rest_field == end.free_field)
