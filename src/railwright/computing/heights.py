"""Height: how much room there is under the strings, lowered and lifted.

Free height G is what the hardest blow leaves; rest gap H is what the rail must bridge when it is lifted. Both are read
at a section's first and last string and carried linearly between them; beyond the outer strings the nearest string's
figures hold.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.readings import End, resolution_u, u_of
from railwright.computing.results import Array
from railwright.survey.records import Register, SectionSurvey, Survey

Number = TypeVar("Number", float, Array)


@dataclass(frozen=True, slots=True)
class EndHeights:
    """Free height and rest gap at one end with standard uncertainties, mm, and the fields that they come from.

    ``eased_mm`` is how far the rest gap was moved from its reading.
    """

    free_mm: float
    u_free_mm: float
    rest_mm: float
    u_rest_mm: float
    free_field: str
    rest_field: str
    eased_mm: float = 0.0

    @property
    def gauged(self) -> bool:
        """Whether the free height was tried with a clear gauge, not reckoned from the rest gap."""
        return "_gauge_" in self.free_field

    @property
    def read_rest_mm(self) -> float:
        """Rest gap as it was read, or reckoned from the clear gauge, mm."""
        return self.rest_mm - self.eased_mm


@dataclass(frozen=True, slots=True)
class Heights:
    """Heights of one section at its two ends; x counts from its first string (0) to its last (1)."""

    low: EndHeights
    high: EndHeights

    @property
    def tilt_mm(self) -> float:
        """How much the gap at rest differs between the ends, mm."""
        return abs(self.high.rest_mm - self.low.rest_mm)

    def free(self, share: Array) -> Array:
        """Free height at shares of the way from the first to the last string, mm."""
        return between(self.low.free_mm, self.high.free_mm, share)

    def u_free(self, share: Array) -> Array:
        """Standard uncertainty of the free height, mm."""
        return between(self.low.u_free_mm, self.high.u_free_mm, share)

    def rest(self, share: Array) -> Array:
        """Gap at rest, mm."""
        return between(self.low.rest_mm, self.high.rest_mm, share)


def between(low: float, high: float, share: Array) -> Array:
    """Carry a value linearly from the low to the high end and hold it beyond."""
    return low + (high - low) * np.clip(share, 0.0, 1.0)


def swing_of(register: Register, book: ShopBook) -> float:
    """How far a string of the register swings below its rest on a hard blow, mm."""
    return book.value(f"swing_{register}")


def swing_u(register: Register, book: ShopBook) -> float:
    """Standard uncertainty of the swing, mm."""
    return book.value("swing_u") / 100.0 * swing_of(register, book)


def rest_from_gauge(gauge_mm: float, swing_mm: float, step_mm: float) -> float:
    """Gap at rest where only a clear gauge was tried: half a block step above the block, and the swing, mm."""
    return gauge_mm + step_mm / 2.0 + swing_mm


def u_rest_from_gauge(swing_u_mm: float, step_mm: float) -> float:
    """Standard uncertainty of a rest gap reckoned from a clear gauge, mm."""
    return math.hypot(resolution_u(step_mm), swing_u_mm)


def highest_stack(free_mm: Number, u_mm: Number, clearance_mm: float, z_p: float) -> Number:
    """Highest stack that may lie under the string: free height less clearance less z_p u, mm.

    Guarded acceptance: JCGM 106:2012, clause 8; z_p = 1.645 leaves 5 % risk on one side, z_p = 0 accepts simply.

    Args:
        free_mm: free height, mm.
        u_mm: its standard uncertainty, mm.
        clearance_mm: what must stay free in any case, mm.
        z_p: guard factor.

    Returns:
        The highest stack, mm.
    """
    return free_mm - clearance_mm - z_p * u_mm


def end_heights(section: SectionSurvey, end: End, survey: Survey, book: ShopBook) -> EndHeights | None:
    """Heights at one end; the gauge takes precedence for the free height, the rest gap for the lift.

    Args:
        section: the section's readings, with its register.
        end: which end.
        survey: gives the reading steps.
        book: gives swings, gauge steps and tolerances.

    Returns:
        The heights; ``None`` where register, or both gauge and rest gap, are missing.
    """
    gauge = section.gauge_low_mm if end == "low" else section.gauge_high_mm
    rest = section.rest_low_mm if end == "low" else section.rest_high_mm
    if section.register is None or (gauge is None and rest is None):
        return None
    gauge_key, rest_key = section.key(f"gauge_{end}"), section.key(f"rest_{end}")
    swing, step = swing_of(section.register, book), book.value("gauge_step")
    if gauge is None:
        assert rest is not None
        u = u_of(rest_key, survey, book)
        return EndHeights(rest - swing, u, rest, u, rest_key, rest_key)
    if rest is None:
        u = u_rest_from_gauge(swing_u(section.register, book), step)
        lift = rest_from_gauge(gauge, swing, step)
        return EndHeights(gauge, book.value("gauge_tol"), lift, u, gauge_key, gauge_key)
    return EndHeights(gauge, book.value("gauge_tol"), rest, u_of(rest_key, survey, book), gauge_key, rest_key)


def heights_of(section: SectionSurvey, survey: Survey, book: ShopBook) -> Heights | None:
    """Heights at both ends of a section; ``None`` where an end cannot be had."""
    low, high = (end_heights(section, end, survey, book) for end in ("low", "high"))
    return Heights(low, high) if low is not None and high is not None else None
