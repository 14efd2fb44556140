"""Lengths spelled the way the technician writes them: ``12 1/8 in`` or ``308 mm``."""

from __future__ import annotations

import math
from fractions import Fraction

MM_PER_INCH = 25.4
_FINEST_INCH_STEP = Fraction(1, 32)
_FINEST_MM_STEP = 0.1


def round_to_step(length_mm: float, step_mm: float) -> float:
    """Round a length to the nearest step; a tie goes up, away from zero.

    Half-up is the habit at a ruler (rule B of ISO 80000-1, annex B, from memory).

    Args:
        length_mm: any length, mm.
        step_mm: the smallest step read, mm; above 0.

    Returns:
        The nearest whole number of steps, mm.

    Raises:
        ValueError: the step is not above 0.
    """
    return math.copysign(_steps(length_mm, step_mm) * step_mm, length_mm)


def spell_length(length_mm: float, unit: str | None, step_mm: float) -> str:
    """Spell a length in the survey's own unit, rounded to the step that was read (ties go up).

    An inch sheet gets whole inches and a reduced fraction; a sheet without a unit is spelled in millimetres. A step
    that is no fraction of the unit is replaced by the finest usual one: 1/32 in, or 0.1 mm.

    Args:
        length_mm: the length, mm.
        unit: ``in`` or ``mm``.
        step_mm: the smallest step read, mm; 0 where it is not known.

    Returns:
        For example ``12 1/8 in``, ``3/8 in``, ``308 mm``, ``307.5 mm``.
    """
    if unit == "in":
        return f"{_inches(length_mm, _inch_step(step_mm))} in"
    step = step_mm if _is_mm_step(step_mm) else _FINEST_MM_STEP
    places = 0 if step == int(step) else 1
    return f"{round_to_step(length_mm, step):.{places}f} mm"


def _steps(length_mm: float, step_mm: float) -> int:
    if not step_mm > 0:
        raise ValueError(f"a reading step must be above 0, not {step_mm}")
    # the hair above one half keeps a tie that binary fractions have put just below it
    return math.floor(abs(length_mm) / step_mm + 0.5 + 1e-9)


def _is_mm_step(step_mm: float) -> bool:
    return step_mm > 0 and math.isclose(step_mm * 10, round(step_mm * 10), abs_tol=1e-9)


def _inch_step(step_mm: float) -> Fraction:
    step = Fraction(step_mm / MM_PER_INCH).limit_denominator(64)
    fits = step > 0 and math.isclose(float(step) * MM_PER_INCH, step_mm, rel_tol=1e-6)
    return step if fits and _is_power_of_two(step.denominator) else _FINEST_INCH_STEP


def _is_power_of_two(number: int) -> bool:
    return number & (number - 1) == 0


def _inches(length_mm: float, step: Fraction) -> str:
    total = _steps(length_mm, float(step) * MM_PER_INCH) * step
    whole, rest = divmod(total, 1)
    sign = "-" if length_mm < 0 and total else ""
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"
