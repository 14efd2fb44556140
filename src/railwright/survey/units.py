"""Units of length. pint is the authority; every conversion is exact, since an inch is 25.4 mm by definition."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pint import UnitRegistry

#: The units a reading may be written in, by the names that pint knows.
LENGTH_UNITS = ("mm", "cm", "m", "in", "ft")


@lru_cache(maxsize=1)
def _registry() -> UnitRegistry[Fraction]:
    """Make the registry when the first length is converted: importing pint costs more than reading a survey."""
    from pint import UnitRegistry

    return UnitRegistry(non_int_type=Fraction)


@lru_cache(maxsize=len(LENGTH_UNITS))
def mm_per(unit: str) -> Fraction:
    """Give the exact number of millimetres in one unit of length.

    Args:
        unit: One of ``LENGTH_UNITS``.

    Returns:
        Millimetres, for example 127/5 for ``in``.

    Raises:
        ValueError: The unit is none of those.
    """
    if unit not in LENGTH_UNITS:
        raise ValueError(f"{unit!r} is not a unit of length used here; expected one of {', '.join(LENGTH_UNITS)}")
    return Fraction(_registry().Quantity(Fraction(1), unit).to("mm").magnitude)


def to_mm(value: Fraction, unit: str) -> Fraction:
    """Convert a length to millimetres, exactly.

    Args:
        value: The length in ``unit``.
        unit: One of ``LENGTH_UNITS``.

    Returns:
        The length in mm.

    Raises:
        ValueError: The unit is none of those.
    """
    return value * mm_per(unit)
