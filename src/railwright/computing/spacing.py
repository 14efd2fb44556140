"""Where the damper wires of a section stand, and how surely."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.gap_model import (
    GapPrior,
    Sight,
    condition,
    design_matrix,
    predicted,
    prior_of,
    run_start,
    sights_of,
)
from railwright.computing.kind_priors import changes_of, priors_of
from railwright.computing.least_squares import propagate
from railwright.computing.notes_of_sections import notes_of, top_damped
from railwright.computing.readings import u_of
from railwright.computing.results import Array, Spacing
from railwright.computing.slip_cases import designs_of
from railwright.survey.notes import LAST_NOTE
from railwright.survey.records import SectionSurvey, Survey

__all__ = ["in_a_row", "placed", "posterior", "run_start", "spacing_of"]

_SAME_MM = 1e-6


class _Reach(NamedTuple):
    """A reach over a section: how it sees the gaps, what was written (mm), how many notes lie beyond the dampers."""

    sight: Sight
    written_mm: float
    beyond: int


def posterior(section: SectionSurvey, survey: Survey, book: ShopBook) -> Spacing | None:
    """Positions of a section's wires given its count, its span, the runs that were taken and the reach over it.

    The first wire stands half a head width from the outer edge of its head; the others follow by the gaps. The
    readings are used as they are written, even where they disagree: that is for a person to settle. A reach sees the
    last string, beyond the notes without dampers; it is left out where it disagrees with all the rest. Where earlier
    pianos of the kind are known with as many heads, each of their designs counts by how well the readings fit it, the
    reach among them, and so does the chance that this piano has none of them.

    Args:
        section: the section's readings.
        survey: gives the head width, the reading steps and their unit, and what is known of the kind; and the reach,
            where the section is its top damped one.
        book: gives the prior and the setting uncertainty.

    Returns:
        Means, covariance and pitch; ``None`` where the span is missing, or the count is missing, below 2 or above
        the 88 notes of a keyboard.
    """
    heads = section.dampers
    if heads is None or section.span_mm is None or not 2 <= heads <= LAST_NOTE:
        return None
    taken, reach = sights_of(section, survey, book).values(), _reach_of(section, survey, book)
    sights, written = [sight for sight, _ in taken], [written for _, written in taken]
    beyond = reach.beyond if reach else 0
    priors = [(replace(prior, beyond=beyond), share) for prior, share in _priors(section, survey, book)]
    mean, covariance = _averaged(sights, written, priors, heads + beyond)
    if reach and _agrees(reach, mean, covariance, book.value("slip_k")):
        mean, covariance = _averaged([*sights, reach.sight], [*written, reach.written_mm], priors, heads + beyond)
    kept = [*range(heads - 1), heads - 1 + beyond]
    return spacing_of(mean[kept], covariance[np.ix_(kept, kept)])


def _priors(section: SectionSurvey, survey: Survey, book: ShopBook) -> list[tuple[GapPrior, float]]:
    """List what a section may be, with probabilities: as earlier pianos with as many heads, or as any piano."""
    designs, heads, prior = designs_of(section, survey), section.dampers or 0, prior_of(survey, book)
    known = any(design.dampers == heads for design in designs)
    return priors_of(prior, designs, changes_of(book), heads) if known else [(prior, 1.0)]


def _reach_of(section: SectionSurvey, survey: Survey, book: ShopBook) -> _Reach | None:
    """See the reach over the top damped section: half a head, its gaps, and one more gap for every note beyond.

    The spacing of those notes goes on as below, but for a difference that they share.
    """
    place, heads = top_damped(survey.sections), section.dampers or 0
    if survey.top_reach_mm is None or place is None or survey.sections[place].number != section.number:
        return None
    beyond = notes_of(survey)[place].undamped
    if beyond is None or not 0 <= beyond <= LAST_NOTE - heads:
        return None
    u_mm = math.hypot(u_of("top_reach", survey, book), beyond * book.value("undamped_sd"))
    return _Reach(Sight(1, heads - 1 + beyond, 0.5, u_mm), survey.top_reach_mm, beyond)


def _agrees(reach: _Reach, mean: Array, covariance: Array, limit: float) -> bool:
    """Tell whether a reach is within so many standard deviations of what all the rest makes of it."""
    (row,) = design_matrix([reach.sight], mean.size)
    sd_mm = math.hypot(math.sqrt(float(row @ covariance @ row)), reach.sight.u_mm)
    return bool(abs(reach.written_mm - row @ mean) <= limit * sd_mm)


def placed(section: SectionSurvey, survey: Survey, book: ShopBook) -> Spacing | None:
    """Positions of a section's wires to go on with, also where a run goes with nothing else.

    A run that leaves no row of wires within the span is left out where count and span alone give a plausible pitch:
    that it disagrees is told, and parts can be reckoned meanwhile.

    Args:
        section: the section's readings.
        survey: as for ``posterior``.
        book: as for ``posterior``, and the plausible pitch.

    Returns:
        The posterior, of all readings or without the runs; ``None`` as for ``posterior``.
    """
    spacing = posterior(section, survey, book)
    if spacing is None or section.span_mm is None or in_a_row(spacing.x_mm, section.span_mm):
        return spacing
    without = posterior(replace(section, run_mm=None, run_end_mm=None), survey, book)
    if without is None or not in_a_row(without.x_mm, section.span_mm):
        return spacing
    plausible = book.value("pitch_low") <= without.pitch_mm <= book.value("pitch_high")
    return without if plausible else spacing


def in_a_row(x_mm: Array, span_mm: float) -> bool:
    """Say whether places follow one another from the bass to the treble, all of them within the span."""
    return bool((np.diff(x_mm) > 0.0).all()) and x_mm[0] > -_SAME_MM and x_mm[-1] < span_mm + _SAME_MM


def _averaged(
    sights: list[Sight], written: list[float], priors: Sequence[tuple[GapPrior, float]], heads: int
) -> tuple[Array, Array]:
    """Average the posterior over priors by their evidence: mean and covariance of the mixture.

    With weights w, means m and covariances C: m' = sum w m, C' = sum w (C + (m - m')(m - m')').
    """
    if len(priors) == 1:
        return condition(sights, written, priors[0][0], heads)
    fitting = [
        (prior, math.log(share) + log_density(written, *predicted(sights, prior, heads))) for prior, share in priors
    ]
    scores = np.array([score for _, score in fitting])
    weights = np.exp(scores - np.logaddexp.reduce(scores))
    each = [condition(sights, written, prior, heads) for prior, _ in fitting]
    mean = weights @ np.stack([mean for mean, _ in each])
    apart = np.stack([own - mean for own, _ in each])
    within = np.einsum("k,kij->ij", weights, np.stack([covariance for _, covariance in each]))
    return mean, within + np.einsum("k,ki,kj->ij", weights, apart, apart)


def log_density(written: Sequence[float], mean: Array, covariance: Array) -> float:
    """Logarithm of a normal density, up to what does not depend on mean and covariance."""
    apart = np.asarray(written) - mean
    return -0.5 * float(np.linalg.slogdet(covariance)[1] + apart @ np.linalg.solve(covariance, apart))


def spacing_of(mean: Array, covariance: Array) -> Spacing:
    """Turn gaps and head width into wire positions: x_i = head width / 2 + the gaps before wire i.

    Args:
        mean: gaps and head width, shape (n,), mm.
        covariance: their covariance, shape (n, n), mm2.

    Returns:
        Positions with covariance, carried over by the same linear map; the mean gap as the pitch.
    """
    heads = mean.size
    to_positions = np.tri(heads, heads, -1)
    to_positions[:, -1] = 0.5
    to_pitch = np.full(heads, 1.0 / (heads - 1))
    to_pitch[-1] = 0.0
    return Spacing(
        x_mm=to_positions @ mean,
        cov_mm2=propagate(to_positions, covariance),
        pitch_mm=float(to_pitch @ mean),
        u_pitch_mm=math.sqrt(max(float(propagate(to_pitch, covariance)), 0.0)),
        head_width_mm=float(mean[-1]),
        u_head_width_mm=math.sqrt(max(float(covariance[-1, -1]), 0.0)),
    )
