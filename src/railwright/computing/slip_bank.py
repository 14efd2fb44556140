"""What every account of a section predicts for its readings, worked out once and weighed many times."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np

from railwright.computing.gap_model import RUN_HEADS, GapPrior, Sight, design_matrix, prior_moments, shared_rounding
from railwright.computing.results import Array
from railwright.computing.slip_cases import Case
from railwright.computing.slip_hypotheses import Hypothesis, hypotheses_of, prior_under


@dataclass(frozen=True, slots=True)
class Bank:
    """Predictions of every account at once: means (H, k), inverse covariances (H, k, k), constants (H,)."""

    hypotheses: tuple[Hypothesis, ...]
    mean_mm: Array
    precision: Array
    constant: Array

    def misfits(self, written_mm: Array) -> Array:
        """Squared distance of the readings from each account's prediction, in its own covariance.

        Args:
            written_mm: readings, shape (k,) or (draws, k), mm.

        Returns:
            Chi-square values with k degrees of freedom where the account is true, shape (H,) or (draws, H).
        """
        apart = np.asarray(written_mm)[..., None, :] - self.mean_mm
        distance: Array = np.einsum("...hi,hij,...hj->...h", apart, self.precision, apart)
        return distance

    def log_scores(self, written_mm: Array) -> Array:
        """Log prior weight plus log marginal likelihood of each account.

        Args:
            written_mm: readings, shape (k,) or (draws, k), mm.

        Returns:
            Scores, shape (H,) or (draws, H); only differences matter.
        """
        return self.constant - 0.5 * self.misfits(written_mm)


@lru_cache(maxsize=64)
def bank_of(case: Case) -> Bank:
    """Work out the predictions of every account that does not depend on the figures written."""
    return bank(case, hypotheses_of(case))


def bank(case: Case, hypotheses: tuple[Hypothesis, ...]) -> Bank:
    """Work out what each account predicts for the readings.

    Args:
        case: the section.
        hypotheses: the accounts.

    Returns:
        Their predictions, in the same order. Accounts that share count and prior are worked out together.
    """
    k = len(case.fields)
    mean, spread = np.empty((len(hypotheses), k)), np.empty((len(hypotheses), k, k))
    groups: dict[tuple[int, GapPrior], list[int]] = {}
    for place, hypothesis in enumerate(hypotheses):
        groups.setdefault((hypothesis.heads, prior_under(case, hypothesis)), []).append(place)
    for (heads, prior), places in groups.items():
        mean[places], spread[places] = _predictions(prior, heads, [hypotheses[i].sights for i in places])
    log_determinant: Array = np.linalg.slogdet(spread)[1].astype(float)
    log_weights = np.array([hypothesis.log_weight for hypothesis in hypotheses])
    precision: Array = np.linalg.inv(spread).astype(float)
    return Bank(hypotheses, mean, precision, log_weights - 0.5 * log_determinant)


def _predictions(prior: GapPrior, heads: int, accounts: list[tuple[Sight, ...]]) -> tuple[Array, Array]:
    """Predict the readings of many accounts of one count, each sight's row being formed once."""
    distinct = list(dict.fromkeys(sight for sights in accounts for sight in sights))
    place = {sight: i for i, sight in enumerate(distinct)}
    index = np.array([[place[sight] for sight in sights] for sights in accounts])
    mean, covariance = prior_moments(prior, heads)
    rows = design_matrix(distinct, heads)
    expected = rows @ mean + np.array([sight.scale * sight.offset_mm for sight in distinct])
    noise = np.array([(sight.scale * sight.u_mm) ** 2 for sight in distinct])
    spread = (rows @ covariance @ rows.T)[index[:, :, None], index[:, None, :]]
    spread += np.eye(index.shape[1]) * noise[index][:, :, None]
    pairs = combinations(range(index.shape[1]), 2) if heads <= RUN_HEADS + 1 else ()  # more heads: other spaces
    for i, j in pairs:
        spread[:, i, j] += (shared := _shared(distinct, index[:, i], index[:, j]))
        spread[:, j, i] += shared
    return expected[index], spread


def _shared(distinct: list[Sight], ones: Array, others: Array) -> Array:
    """Covariance of the rounding of two readings in every account, most of which share their sights with others."""
    size = len(distinct)
    pairs, account = np.unique(ones * size + others, return_inverse=True)
    each = [(distinct[pair // size], distinct[pair % size]) for pair in pairs.tolist()]
    shared: Array = np.array([one.scale * other.scale * shared_rounding(one, other) for one, other in each])
    return shared[account]
