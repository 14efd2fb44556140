"""Where the damper wires of a section stand, and how surely."""

from __future__ import annotations

import math

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.gap_model import condition, prior_of, run_start, sights_of
from railwright.computing.least_squares import propagate
from railwright.computing.results import Array, Spacing
from railwright.survey.notes import LAST_NOTE
from railwright.survey.records import SectionSurvey, Survey

__all__ = ["posterior", "run_start", "spacing_of"]


def posterior(section: SectionSurvey, survey: Survey, book: ShopBook) -> Spacing | None:
    """Positions of a section's wires given its count, its span and the runs that were taken.

    The first wire stands half a head width from the outer edge of its head; the others follow by the gaps. The
    readings are used as they are written, even where they disagree: that is for a person to settle.

    Args:
        section: the section's readings.
        survey: gives the head width, the reading steps and their unit.
        book: gives the prior and the setting uncertainty.

    Returns:
        Means, covariance and pitch; ``None`` where the span is missing, or the count is missing, below 2 or above
        the 88 notes of a keyboard.
    """
    heads = section.dampers
    if heads is None or section.span_mm is None or not 2 <= heads <= LAST_NOTE:
        return None
    seen = sights_of(section, survey, book)
    mean, covariance = condition(
        [sight for sight, _ in seen.values()], [written for _, written in seen.values()], prior_of(survey, book), heads
    )
    return spacing_of(mean, covariance)


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
