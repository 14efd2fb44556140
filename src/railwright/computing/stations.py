"""Where a station may stand: in a gap between two wires, or midway between undamped notes of the continued rail."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from railwright.computing.results import Array, Spacing

_SLACK = 1e-9
"""A gap is wide enough within this, mm."""


@dataclass(frozen=True, slots=True)
class FootRoom:
    """What a foot needs: its width, the wire beside it, the clearance between them and how far it may slide, mm."""

    foot_mm: float
    wire_mm: float
    clearance_mm: float
    slot_mm: float

    def from_wire(self, u95_mm: Array) -> Array:
        """Least distance from a foot's middle to a wire's middle; only doubt beyond the slot counts, mm."""
        return self.foot_mm / 2 + self.wire_mm / 2 + self.clearance_mm + np.maximum(u95_mm - self.slot_mm, 0.0)


@dataclass(frozen=True, slots=True)
class Places:
    """Places where a station may stand, from the bass. ``gap`` counts from 1; 0 beyond the last wire.

    ``x_mm`` has the places along the damper line, shape (q,).
    """

    gap: tuple[int, ...]
    x_mm: Array


@dataclass(frozen=True, slots=True)
class ScrewPlace:
    """One guide-rail screw: heads above it, the gap it sits in (0 below the first wire), where, and how surely, mm."""

    heads_above: int
    gap: int
    x_mm: float
    u_mm: float


def midpoint_u(spacing: Spacing, k: int) -> float:
    """Standard uncertainty of the middle of gap k (from 1), from the covariance of its two wires, mm."""
    pair = spacing.cov_mm2[k - 1 : k + 1, k - 1 : k + 1]
    return float(np.sqrt(max(pair.sum(), 0.0) / 4.0))


def screw_places(spacing: Spacing, screws: Iterable[int]) -> tuple[ScrewPlace, ...]:
    """Place every guide-rail screw: k heads above put it in gap n - k; 0 or n, half a pitch outside the end wire.

    Args:
        spacing: the section's wires.
        screws: heads above each screw, counted down from the treble end; numbers outside 0..n are left out.

    Returns:
        The screws from the bass.
    """
    heads = spacing.x_mm.size
    return tuple(_screw_place(spacing, k) for k in sorted(set(screws), reverse=True) if 0 <= k <= heads)


def _screw_place(spacing: Spacing, heads_above: int) -> ScrewPlace:
    heads, half = spacing.x_mm.size, spacing.pitch_mm / 2
    if heads_above == 0:
        return ScrewPlace(0, heads, float(spacing.x_mm[-1]) + half, float(spacing.u_mm[-1]))
    if heads_above == heads:
        return ScrewPlace(heads, 0, float(spacing.x_mm[0]) - half, float(spacing.u_mm[0]))
    gap = heads - heads_above
    return ScrewPlace(heads_above, gap, float(spacing.x_mm[gap - 1 : gap + 1].mean()), midpoint_u(spacing, gap))


def gap_spare(spacing: Spacing, room: FootRoom) -> Array:
    """Room to spare on the tighter side of a foot amid every gap, shape (n - 1,), mm; below 0 it is too narrow."""
    need = room.from_wire(spacing.u95_mm)
    return np.diff(spacing.x_mm) / 2 - np.maximum(need[:-1], need[1:])


def gap_places(spacing: Spacing, room: FootRoom, screws: Iterable[ScrewPlace]) -> Places:
    """Give the middles of all gaps that hold a foot and no guide-rail screw."""
    taken = {screw.gap for screw in screws if screw.heads_above not in (0, spacing.x_mm.size)}
    spare = gap_spare(spacing, room)
    gaps = tuple(k for k in range(1, spacing.x_mm.size) if spare[k - 1] >= -_SLACK and k not in taken)
    index = np.array(gaps, dtype=int)
    return Places(gaps, (spacing.x_mm[index - 1] + spacing.x_mm[index]) / 2 if gaps else np.empty(0))


def rail_places(strings_mm: Array, after_mm: float, until_mm: float, keep_off: Iterable[tuple[float, float]]) -> Places:
    """Give the middles between undamped notes, where there is no wire to clear.

    Midway between two notes the felt presses both alike, so no other place on the continued rail is offered.

    Args:
        strings_mm: notes from the last damped one (or the first of a section without dampers), shape (m,), mm.
        after_mm: a foot's middle stands here at the lowest, mm.
        until_mm: and here at the highest, mm.
        keep_off: middles and half-widths of what stands in the way, such as screws, mm.

    Returns:
        The places, with gap 0.
    """
    middles = (strings_mm[:-1] + strings_mm[1:]) / 2
    free = (middles >= after_mm) & (middles <= until_mm)
    for middle, half in keep_off:
        free &= np.abs(middles - middle) >= half
    return Places((0,) * int(free.sum()), middles[free])


def joined(first: Places, second: Places) -> Places:
    """Put places beyond the wires behind those between them."""
    return Places(first.gap + second.gap, np.concatenate([first.x_mm, second.x_mm]))
