"""Sizes of screw heads and clearance holes.

Head diameters are the largest of each standard, so that a relief always clears. Values of ISO 273, ISO 7045, ISO 7046
and ISO 10642 as printed in suppliers' copies of those tables; wood-screw heads from a printed table of ASME B18.6.1.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

Fit = Literal["fine", "medium", "coarse"]

#: ISO 273 clearance holes for metric screws, mm: fine (H12), medium (H13), coarse (H14).
ISO_273: dict[str, tuple[float, float, float]] = {
    "M2": (2.2, 2.4, 2.6),
    "M2.5": (2.7, 2.9, 3.1),
    "M3": (3.2, 3.4, 3.6),
    "M3.5": (3.7, 3.9, 4.2),
    "M4": (4.3, 4.5, 4.8),
    "M5": (5.3, 5.5, 5.8),
    "M6": (6.4, 6.6, 7.0),
    "M8": (8.4, 9.0, 10.0),
}

#: Largest head diameter dk by standard and size, mm. Flat head of ISO 10642: the theoretical sharp diameter, 2.24 d.
HEADS: dict[str, dict[str, float]] = {
    "ISO 7045": {"M3": 5.6, "M4": 8.0, "M5": 9.5, "M6": 12.0},
    "ISO 7046": {"M2": 3.8, "M2.5": 4.7, "M3": 5.5, "M3.5": 7.3, "M4": 8.4, "M5": 9.3, "M6": 11.3},
    "ISO 10642": {"M3": 6.72, "M4": 8.96, "M5": 11.20, "M6": 13.44, "M8": 17.92},
}

#: Flat-head wood screws of ASME B18.6.1, largest sharp head diameter by number, inches.
WOOD_HEADS_IN: dict[str, float] = {
    "No. 4": 0.225,
    "No. 6": 0.279,
    "No. 8": 0.332,
    "No. 10": 0.385,
    "No. 12": 0.438,
    "No. 14": 0.507,
}
WOOD_STANDARD = "ASME B18.6.1"
MM_PER_INCH = 25.4


def known_screws() -> tuple[str, ...]:
    """List every screw that a shop book may name, such as ``ISO 7046 M4`` and ``ASME B18.6.1 No. 8``."""
    metric = tuple(f"{standard} {size}" for standard, sizes in HEADS.items() for size in sizes)
    return metric + tuple(f"{WOOD_STANDARD} {number}" for number in WOOD_HEADS_IN)


@lru_cache(maxsize=64)  # asked for every carrier of every section, with one and the same name
def head_diameter(screw: str) -> float:
    """Largest head diameter of a screw named by standard and size.

    Args:
        screw: for example ``ISO 7046 M4`` or ``ASME B18.6.1 No. 8``; upper and lower case and spaces do not matter.

    Returns:
        The diameter, mm.

    Raises:
        ValueError: the screw is not in the tables; the message lists those that are.
    """
    wanted = _plain(screw)
    for standard, sizes in HEADS.items():
        for size, diameter in sizes.items():
            if wanted == _plain(standard + size):
                return diameter
    for number, inches in WOOD_HEADS_IN.items():
        if wanted == _plain(WOOD_STANDARD + number):
            return inches * MM_PER_INCH
    raise ValueError(f"no head size is known for the screw {screw!r}; known are {', '.join(known_screws())}")


def clearance_hole(size: str, fit: Fit = "medium") -> float:
    """Clearance hole of a metric screw, ISO 273.

    Args:
        size: thread size such as ``M4``.
        fit: fine, medium or coarse series.

    Returns:
        The hole diameter, mm.

    Raises:
        ValueError: the size is not in the table.
    """
    row = ISO_273.get(size.strip().upper())
    if row is None:
        raise ValueError(f"no clearance hole is known for {size!r}; known are {', '.join(ISO_273)}")
    return row[("fine", "medium", "coarse").index(fit)]


def wood_screw_diameter(number: int) -> float:
    """Shank diameter of a wood screw, (0.060 + 0.013 n) in, ASME B18.6.1, in mm."""
    return (0.060 + 0.013 * number) * MM_PER_INCH


def _plain(name: str) -> str:
    return "".join(name.upper().split())
