"""Do count, span and run of a section agree? Each test predicts one reading from all the others."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.gap_model import predicted, prior_of, sights_of
from railwright.computing.normal import beyond
from railwright.computing.results import Array
from railwright.computing.slip_cases import Case, case_of, fewest_heads, predicted_as_meant, testable
from railwright.survey.records import SectionSurvey, Survey


@dataclass(frozen=True, slots=True)
class Innovation:
    """One reading against its prediction from all the others; ``z`` is written less predicted in ``sd_mm``."""

    field: str
    written_mm: float
    predicted_mm: float
    sd_mm: float

    @property
    def z(self) -> float:
        """Disagreement in standard deviations of the prediction; above 0 the reading is longer than predicted."""
        return (self.written_mm - self.predicted_mm) / self.sd_mm


def innovations(section: SectionSurvey, survey: Survey, book: ShopBook) -> tuple[Innovation, ...]:
    """Test a section's readings: the span given count and runs, and a second run given count, span and run.

    Count, span and run are one test, however it is turned; a second run adds one more. With no run at all the span
    is predicted from the count and the usual pitch. Where only a second run was taken it serves as the run.

    Args:
        section: the section's readings.
        survey: gives the head width and reading steps.
        book: gives the prior.

    Returns:
        One or two tests, the span's first; none where count or span is missing or no section has such a count.
    """
    if not testable(section):
        return ()
    seen = sights_of(section, survey, book)
    keys, sights = list(seen), [sight for sight, _ in seen.values()]
    written = np.array([value for _, value in seen.values()])
    mean, spread = predicted(sights, prior_of(survey, book), section.dampers or 0)
    tested = ["span"] + (["run_end"] if {"run", "run_end"} <= set(keys) else [])
    return tuple(_innovation(section.key(key), keys.index(key), written, mean, spread) for key in tested)


def innovation(section: SectionSurvey, survey: Survey, book: ShopBook) -> float | None:
    """Give the disagreement of the span with count and runs in standard deviations; ``None`` where untestable."""
    tests = innovations(section, survey, book)
    return tests[0].z if tests else None


def power_of_count_test(section: SectionSurvey, survey: Survey, book: ShopBook) -> float | None:
    """Probability that a count one too high or too low would be found with the readings that were taken.

    Written z is linear in the readings, so with another true count it is normal with a shifted mean and another
    spread. Where there are two tests the better one counts, which is a little below the chance of either.

    Args:
        section: the section's readings; their values play no part, only which there are and how finely read.
        survey: gives the head width and reading steps.
        book: gives the prior and ``slip_k``.

    Returns:
        The mean of the two chances, 0 to 1; ``None`` where the section cannot be tested.
    """
    if not testable(section):
        return None
    case, _ = case_of(section, survey, book)
    true_counts = [heads for heads in (case.heads - 1, case.heads + 1) if heads >= fewest_heads(case)]
    chances = [_chance_to_see(case, heads, book.value("slip_k")) for heads in true_counts]
    return math.fsum(chances) / len(chances)


def _innovation(key: str, place: int, written: Array, mean: Array, spread: Array) -> Innovation:
    """Predict one reading from the others by the conditional normal law."""
    coefficients, variance = contrast(place, spread)
    difference = float(coefficients @ (written - mean))
    return Innovation(key, float(written[place]), float(written[place]) - difference, math.sqrt(variance))


def contrast(place: int, spread: Array) -> tuple[Array, float]:
    """Give the weights that turn readings into one reading less its prediction, and the variance of that."""
    coefficients = np.zeros(len(spread))
    others = [i for i in range(len(spread)) if i != place]
    if others:
        coefficients[others] = -np.linalg.solve(spread[np.ix_(others, others)], spread[others, place])
    coefficients[place] = 1.0
    return coefficients, float(coefficients @ spread @ coefficients)


def _chance_to_see(case: Case, true_heads: int, limit: float) -> float:
    """Probability that some test exceeds the limit when the heads are really so many."""
    mean, spread = predicted_as_meant(case, case.heads)
    true_mean, true_spread = predicted_as_meant(case, true_heads)
    chances = []
    for name in {"span", "run_end"} & set(case.fields):
        coefficients, variance = contrast(case.fields.index(name), spread)
        shift = float(coefficients @ (true_mean - mean)) / math.sqrt(variance)
        chances.append(beyond(limit, shift, math.sqrt(float(coefficients @ true_spread @ coefficients) / variance)))
    return max(chances)
