"""What a hollow on the underside leaves of a carrier's stiffness.

The hollow is cut from the edge at the wires, ``reach`` in and ``depth`` up from the lowest line of the section; what it
takes away is summed over strips side by side, so that round undersides count as they are. The rest is reckoned about
its own middle height by the parallel-axis theorem. A hollow at one edge also makes the section bend a little sideways
(its product of inertia); on a flat that takes a further fiftieth of the stiffness where the hollow is, and is left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from railwright.book.model import Carrier
from railwright.computing import profiles
from railwright.computing.results import Array

_STRIPS = 400
"""So many strips side by side; the sum of a round underside is then right to a ten-thousandth."""


@dataclass(frozen=True, slots=True)
class Removed:
    """What a hollow takes out of a section: area mm2, first and second moment about the section's middle height."""

    area_mm2: float
    first_mm3: float
    second_mm4: float


def underside(carrier: Carrier, y_mm: Array) -> Array:
    """Height of a carrier's underside above its lowest line, mm.

    Args:
        carrier: the bar.
        y_mm: distances from its edge, 0 to its width, mm.

    Returns:
        The heights, same shape.
    """
    radius = profiles.corner_radius(carrier)
    inward = np.minimum(y_mm, carrier.width_mm - y_mm)
    short: Array = np.maximum(radius - inward, 0.0)
    height: Array = radius - np.sqrt(radius**2 - short**2)
    return height


def removed(carrier: Carrier, reach_mm: float, depth_mm: float) -> Removed:
    """Sum what a hollow takes out of a section, strip by strip.

    Args:
        carrier: the bar.
        reach_mm: how far the hollow reaches in from the edge, at most the width, mm.
        depth_mm: how high it reaches above the lowest line, less than the wall or the height of a flat, mm.

    Returns:
        Area and moments of what is taken away.
    """
    strip = reach_mm / _STRIPS
    middles: Array = (np.arange(_STRIPS, dtype=np.float64) + 0.5) * strip
    under = underside(carrier, middles)
    middle = carrier.height_mm / 2.0
    low, high = under - middle, np.maximum(depth_mm, under) - middle
    moments = [float(((high**power - low**power) / power).sum()) * strip for power in (1, 2, 3)]
    return Removed(*moments)


def pocketed_inertia(carrier: Carrier, reach_mm: float, depth_mm: float) -> float:
    """Second moment of a hollowed section about its own middle axis, mm4: I - I_p - S_p^2 / (A - A_p).

    Args:
        carrier: the bar.
        reach_mm: how far the hollow reaches in from the edge, mm.
        depth_mm: how high it reaches above the lowest line, mm.

    Returns:
        The second moment that counts against bending up and down, mm4.
    """
    taken = removed(carrier, reach_mm, depth_mm)
    left = profiles.area(carrier) - taken.area_mm2
    return profiles.inertia(carrier) - taken.second_mm4 - taken.first_mm3**2 / left


@lru_cache(maxsize=1024)  # asked for every section, and few hollows differ
def stiffness_lost(carrier: Carrier, reach_mm: float, depth_mm: float) -> float:
    """Share of a carrier's bending stiffness that a hollow takes where it is, 0 to 1."""
    return 1.0 - pocketed_inertia(carrier, reach_mm, depth_mm) / profiles.inertia(carrier)
