"""What one more reading, or a finer one, would do for a section's wires and for the test of its count."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from railwright.book.model import ShopBook
from railwright.computing.gap_model import RUN_HEADS
from railwright.computing.slip_tests import power_of_count_test
from railwright.computing.spacing import posterior
from railwright.survey.records import SectionSurvey, Survey

INCH = 25.4
#: A reading that sees a miscount so much more often is worth taking even if it does not see it nearly always.
_WORTH_A_READING = 0.1
#: Finer steps that a tape or rule of each unit offers, coarsest first.
FINER_STEPS_MM: Mapping[str, tuple[float, ...]] = {"in": (INCH / 16, INCH / 32), "mm": (1.0, 0.5)}


@dataclass(frozen=True, slots=True)
class Sharper:
    """A reading taken again to a finer step, or for the first time, and what is gained.

    ``u95_mm`` is the widest 95 % half-band of the section's wires afterwards, ``before_mm`` the one now;
    ``power`` and ``power_before`` the chance that a count one off is found.
    """

    field: str
    step_mm: float
    before_mm: float
    u95_mm: float
    power_before: float
    power: float


def finer_steps(step_mm: float, unit: str | None) -> tuple[float, ...]:
    """List the steps of the unit's tapes and rules that are finer than the one read, coarsest first."""
    return tuple(step for step in FINER_STEPS_MM[unit or "mm"] if step < step_mm * (1 - 1e-6))


def sharper_readings(section: SectionSurvey, survey: Survey, book: ShopBook) -> tuple[Sharper, ...]:
    """Try every reading that bears on a section's wires: a second run, the head width, span and runs to finer steps.

    What is gained follows from the covariance alone; the values that will be read do not enter.

    Args:
        section: the section's readings.
        survey: gives unit, steps and the head width.
        book: gives the prior.

    Returns:
        The candidates that gain anything, narrowest band first; none where the section's wires cannot be placed.
    """
    now = posterior(section, survey, book)
    power = power_of_count_test(section, survey, book)
    if now is None or power is None:
        return ()
    before = float(now.u95_mm.max())
    found = [
        Sharper(
            field, step, before, _widest(then, with_it, book), power, power_of_count_test(then, with_it, book) or 0.0
        )
        for field, step, then, with_it in _tries(section, survey)
    ]
    useful = [each for each in found if each.u95_mm < before or each.power > power]
    return tuple(sorted(useful, key=lambda each: (each.u95_mm, -each.step_mm, each.field)))


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


def _widest(section: SectionSurvey, survey: Survey, book: ShopBook) -> float:
    """Widest 95 % half-band of a section that is known to have places, mm."""
    spacing = posterior(section, survey, book)
    assert spacing is not None
    return float(spacing.u95_mm.max())


def _tries(section: SectionSurvey, survey: Survey) -> Iterator[tuple[str, float, SectionSurvey, Survey]]:
    """Go through the readings that may be taken: full key, step, and section and survey as they would be then.

    A value that is not known yet stands in as the usual one; only its being there counts.
    """
    step = survey.step_mm or 0.0
    if _may_take_a_second_run(section):
        yield section.key("run_end"), step, replace(section, run_end_mm=section.run_mm), survey
    for finer in finer_steps(step, survey.unit):
        for name, value in (("span", section.span_mm), ("run", section.run_mm), ("run_end", section.run_end_mm)):
            if value is not None:
                yield section.key(name), finer, section, _read_to(survey, section.key(name), finer)
        width = survey.head_width_mm if survey.head_width_mm is not None else 0.0
        yield "head_width", finer, section, replace(_read_to(survey, "head_width", finer), head_width_mm=width)


def _read_to(survey: Survey, key: str, step_mm: float) -> Survey:
    return replace(survey, steps_mm={**survey.steps_mm, key: step_mm})
