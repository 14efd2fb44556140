"""Where the damper wires of a section stand, and how surely."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.gap_model import GapPrior, Sight, condition, predicted, prior_of, run_start, sights_of
from railwright.computing.kind_priors import changes_of, priors_of
from railwright.computing.least_squares import propagate
from railwright.computing.results import Array, Spacing
from railwright.computing.slip_cases import designs_of
from railwright.survey.notes import LAST_NOTE
from railwright.survey.records import SectionSurvey, Survey

__all__ = ["posterior", "run_start", "spacing_of"]


def posterior(section: SectionSurvey, survey: Survey, book: ShopBook) -> Spacing | None:
    """Positions of a section's wires given its count, its span and the runs that were taken.

    The first wire stands half a head width from the outer edge of its head; the others follow by the gaps. The
    readings are used as they are written, even where they disagree: that is for a person to settle. Where earlier
    pianos of the kind are known with as many heads, each of their designs counts by how well the readings fit it, and
    so does the chance that this piano has none of them.

    Args:
        section: the section's readings.
        survey: gives the head width, the reading steps and their unit, and what is known of the kind.
        book: gives the prior and the setting uncertainty.

    Returns:
        Means, covariance and pitch; ``None`` where the span is missing, or the count is missing, below 2 or above
        the 88 notes of a keyboard.
    """
    heads = section.dampers
    if heads is None or section.span_mm is None or not 2 <= heads <= LAST_NOTE:
        return None
    seen = sights_of(section, survey, book)
    sights, written = [sight for sight, _ in seen.values()], [value for _, value in seen.values()]
    prior, designs = prior_of(survey, book), designs_of(section, survey)
    if not any(design.dampers == heads for design in designs):
        return spacing_of(*condition(sights, written, prior, heads))
    return spacing_of(*_averaged(sights, written, priors_of(prior, designs, changes_of(book), heads), heads))


def _averaged(
    sights: list[Sight], written: list[float], priors: Sequence[tuple[GapPrior, float]], heads: int
) -> tuple[Array, Array]:
    """Average the posterior over priors by their evidence: mean and covariance of the mixture.

    With weights w, means m and covariances C: m' = sum w m, C' = sum w (C + (m - m')(m - m')').
    """
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
