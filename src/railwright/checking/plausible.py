"""Is a length among those that pianos have?"""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit
from railwright.checking.words import length
from railwright.survey.records import Survey


def is_outside(survey: Survey, key: str, mm: float, low_mm: float, high_mm: float) -> bool:
    """Tell whether a reading lies outside a range by more than rounding to its step explains.

    A reading stands for every length within half a step of it, so it is only outside where all of those are.

    Args:
        survey: gives the step that the field was read to.
        key: the field's full key.
        mm: the reading, mm.
        low_mm: lowest plausible length, mm.
        high_mm: highest plausible length, mm.

    Returns:
        True when no length behind the reading is plausible.
    """
    half_step = survey.step_of(key) / 2
    return not low_mm - half_step <= mm <= high_mm + half_step


def implausible(survey: Survey, key: str, mm: float | None, low_mm: float, high_mm: float, do: str) -> Iterator[Hit]:
    """Yield a hit for a length that was read and lies outside the plausible range.

    Args:
        survey: gives unit and step.
        key: the field's full key.
        mm: the reading, mm; ``None`` where there is none.
        low_mm: lowest plausible length, mm.
        high_mm: highest plausible length, mm.
        do: what to do, one sentence.

    Yields:
        One hit or none.
    """
    if mm is not None and is_outside(survey, key, mm, low_mm, high_mm):
        low, high = round(low_mm, 1), round(high_mm, 1)
        wanted = f"at most {high:g} mm" if low <= 0 else f"{low:g} to {high:g} mm"
        yield Hit(key, f"expected {wanted}, found {length(survey, key, mm)}. {do}")
