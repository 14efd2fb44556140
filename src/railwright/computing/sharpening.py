"""Finer steps, and what one more reading or finer ones would do for the test of a section's count."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from railwright.book.model import ShopBook
from railwright.computing.gap_model import RUN_HEADS
from railwright.computing.slip_tests import power_of_count_test
from railwright.survey.records import SectionSurvey, Survey

INCH = 25.4
#: A reading that sees a miscount so much more often is worth taking even if it does not see it nearly always.
_WORTH_A_READING = 0.1
#: Finer steps that a tape or rule of each unit offers, coarsest first.
FINER_STEPS_MM: Mapping[str, tuple[float, ...]] = {"in": (INCH / 16, INCH / 32), "mm": (1.0, 0.5)}


def finer_steps(step_mm: float, unit: str | None) -> tuple[float, ...]:
    """List the steps of the unit's tapes and rules that are finer than the one read, coarsest first."""
    return tuple(step for step in FINER_STEPS_MM[unit or "mm"] if step < step_mm * (1 - 1e-6))


def showing_a_miscount(
    section: SectionSurvey, survey: Survey, book: ShopBook
) -> tuple[SectionSurvey, Survey, float] | None:
    """Find the least that would have to be read so that a count one off would be noticed nearly always.

    Tried in this order: a second run where it would see other spaces than the first, all readings of the section to
    finer steps, both.

    Args:
        section: the section's readings.
        survey: gives unit and steps.
        book: gives the prior and ``weak_power``, the chance that is enough.

    Returns:
        Section and survey as they would be, and the chance then; where nothing would be enough, the best there is;
        ``None`` where nothing would do anything to speak of.
    """
    second = [replace(section, run_end_mm=section.run_mm)] if _may_take_a_second_run(section) else []
    finer = [_all_read_to(section, survey, step) for step in finer_steps(survey.step_mm or 0.0, survey.unit)]
    tries = [(one, survey) for one in second] + [(section, sheet) for sheet in finer]
    tries += [(one, sheet) for one in second for sheet in finer]
    enough, best = book.value("weak_power"), None
    worth_it = (power_of_count_test(section, survey, book) or 0.0) + _WORTH_A_READING
    for then, sheet in tries:
        power = power_of_count_test(then, sheet, book) or 0.0
        if power >= min(enough, worth_it) and (best is None or power > best[2]):
            best = then, sheet, power
        if power >= enough:
            break
    return best


def _may_take_a_second_run(section: SectionSurvey) -> bool:
    """Tell whether a second run is missing that would not lie over the spaces of the first."""
    return (section.dampers or 0) > RUN_HEADS and section.run_mm is not None and section.run_end_mm is None


def _all_read_to(section: SectionSurvey, survey: Survey, step_mm: float) -> Survey:
    keys = (section.key(name) for name in ("span", "run", "run_end"))
    return replace(survey, steps_mm={**survey.steps_mm, **{key: min(step_mm, survey.step_of(key)) for key in keys}})
