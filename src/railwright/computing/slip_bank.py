"""What every account of a section predicts for its readings, worked out once and weighed many times."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from railwright.computing.gap_model import RUN_HEADS, GapPrior, Sight, design_matrix, prior_moments, shared_rounding
from railwright.computing.results import Array
from railwright.computing.slip_accounts import Accounts, Chance
from railwright.computing.slip_cases import Case, plain_case
from railwright.computing.slip_hypotheses import Family, Hypothesis, chances_of, families_of, hypotheses_of, prior_under


@dataclass(frozen=True, slots=True)
class Bank:
    """Predictions of every account at once: means (H, k), inverse covariances (H, k, k), constants (H,)."""

    hypotheses: Sequence[Hypothesis]
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


@dataclass(frozen=True, slots=True)
class _Layout:
    """The readings of many accounts of one count, as far as they do not depend on what is known of the gaps.

    ``rows`` and ``offsets_mm`` are those of the distinct sights, ``index`` names each account's, shape (H, k), and
    ``noise_mm2`` is the covariance of its reading errors, shape (H, k, k).
    """

    heads: int
    rows: Array
    offsets_mm: Array
    index: NDArray[np.intp]
    noise_mm2: Array

    def predicted(self, prior: GapPrior) -> tuple[Array, Array]:
        """Predict the readings of every account: means, shape (H, k), and covariances, shape (H, k, k)."""
        mean, covariance = prior_moments(prior, self.heads)
        expected = self.rows @ mean + self.offsets_mm
        spread = (self.rows @ covariance @ self.rows.T)[self.index[:, :, None], self.index[:, None, :]]
        return expected[self.index], spread + self.noise_mm2


@lru_cache(maxsize=64)
def bank_of(case: Case) -> Bank:
    """Work out the predictions of every account that does not depend on the figures written."""
    if not case.designs:
        return bank(case, hypotheses_of(case))
    chances, parts = [], []
    for family, layout in _plain_families(plain_case(case)):
        for prior, log_chance in chances_of(case, family.heads):
            chances.append(Chance(family, prior, log_chance))
            parts.append(_part(layout, prior, family.ways.log_weights + log_chance))
    return Bank(Accounts(chances), *_joined(parts))


@lru_cache(maxsize=256)
def _plain_families(case: Case) -> tuple[tuple[Family, _Layout], ...]:
    """Give the accounts of a section by count, whatever is known of its gaps; they are costly and much alike."""
    return tuple((family, _layout_of(family)) for family in families_of(case))


def _layout_of(family: Family) -> _Layout:
    starts = np.cumsum([0, *(len(each) for each in family.variants[:-1])])
    sights = [variant.sight for each in family.variants for variant in each]
    return _layout(family.heads, sights, family.ways.places + starts)


def bank(case: Case, hypotheses: tuple[Hypothesis, ...]) -> Bank:
    """Work out what each account predicts for the readings.

    Args:
        case: the section.
        hypotheses: the accounts.

    Returns:
        Their predictions, in the same order. Accounts that share count and prior are worked out together.
    """
    groups: dict[tuple[int, GapPrior], list[int]] = {}
    for place, hypothesis in enumerate(hypotheses):
        groups.setdefault((hypothesis.heads, prior_under(case, hypothesis)), []).append(place)
    log_weights = np.array([hypothesis.log_weight for hypothesis in hypotheses])
    parts = [
        _part(_own_layout(heads, [hypotheses[i].sights for i in places]), prior, log_weights[places])
        for (heads, prior), places in groups.items()
    ]
    order = np.argsort([i for places in groups.values() for i in places])
    mean, precision, constant = _joined(parts)
    return Bank(hypotheses, mean[order], precision[order], constant[order])


def _part(layout: _Layout, prior: GapPrior, log_weights: Array) -> tuple[Array, Array, Array]:
    """Give means, inverse covariances and constants of the accounts of one layout under one prior."""
    mean, spread = layout.predicted(prior)
    log_determinant: Array = np.linalg.slogdet(spread)[1].astype(float)
    precision: Array = np.linalg.inv(spread).astype(float)
    return mean, precision, log_weights - 0.5 * log_determinant


def _joined(parts: Sequence[tuple[Array, Array, Array]]) -> tuple[Array, Array, Array]:
    mean, precision, constant = (np.concatenate(each) for each in zip(*parts, strict=True))
    return mean, precision, constant


def _own_layout(heads: int, accounts: list[tuple[Sight, ...]]) -> _Layout:
    """Lay out the readings of any accounts of one count, each sight's row being formed once."""
    distinct = list(dict.fromkeys(sight for sights in accounts for sight in sights))
    place = {sight: i for i, sight in enumerate(distinct)}
    return _layout(heads, distinct, np.array([[place[sight] for sight in sights] for sights in accounts]))


def _layout(heads: int, distinct: list[Sight], index: NDArray[np.intp]) -> _Layout:
    offsets = np.array([sight.scale * sight.offset_mm for sight in distinct])
    own = np.array([(sight.scale * sight.u_mm) ** 2 for sight in distinct])
    noise = np.eye(index.shape[1]) * own[index][:, :, None]
    pairs = combinations(range(index.shape[1]), 2) if heads <= RUN_HEADS + 1 else ()  # more heads: other spaces
    for i, j in pairs:
        noise[:, i, j] += (shared := _shared(distinct, index[:, i], index[:, j]))
        noise[:, j, i] += shared
    return _Layout(heads, design_matrix(distinct, heads), offsets, index, noise)


def _shared(distinct: list[Sight], ones: NDArray[np.intp], others: NDArray[np.intp]) -> Array:
    """Covariance of the rounding of two readings in every account, most of which share their sights with others."""
    size = len(distinct)
    pairs, account = np.unique(ones * size + others, return_inverse=True)
    each = [(distinct[pair // size], distinct[pair % size]) for pair in pairs.tolist()]
    shared: Array = np.array([one.scale * other.scale * shared_rounding(one, other) for one, other in each])
    return shared[account]
