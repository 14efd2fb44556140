"""Which reading of a section, taken again, is expected to tell most about what went wrong."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.gap_model import RUN_HEADS, Sight, condition, design_matrix
from railwright.computing.readings import u_of
from railwright.computing.results import Array
from railwright.computing.slip_cases import Case, case_of, meant_sight
from railwright.computing.slip_hypotheses import Hypothesis, prior_under
from railwright.computing.slip_weighing import weigh
from railwright.survey.records import SectionSurvey, Survey

#: Accounts less likely than this play no part in choosing what to measure again.
_NEGLIGIBLE = 1e-3
_MOST_ACCOUNTS = 40


@dataclass(frozen=True, slots=True)
class Gains:
    """Expected loss of doubt (nats) by taking each reading again, and the probabilities of the accounts in doubt."""

    by_field: Mapping[str, float]
    shares: tuple[float, ...]

    def best(self) -> str:
        """Name the most telling reading, such as ``run``."""
        return max(self.by_field, key=lambda name: self.by_field[name])


def gains_of(section: SectionSurvey, survey: Survey, book: ShopBook) -> Gains:
    """Work out how much each reading of a section, taken again, is expected to tell about what went wrong.

    Args:
        section: a section that can be tested.
        survey: gives head width, steps and texts.
        book: gives the prior and the weights.

    Returns:
        The gains by field name without the section: ``dampers``, ``span`` and the runs that were taken; and the
        second run where it was not taken and would see other gaps than the first.
    """
    case, written = case_of(section, survey, book)
    hypotheses, probability, _ = weigh(section, survey, case, written)
    gains = gains_among(case, written, hypotheses, probability)
    if "run_end" in case.fields or case.heads <= RUN_HEADS:
        return gains
    accounts, shares = _in_doubt(hypotheses, probability)
    u_mm = u_of(section.key("run_end"), survey, book)
    fresh = [_fresh(case, written, a, [meant_sight(case, "run_end", u_mm, a.heads)], [u_mm])[0] for a in accounts]
    return Gains({**gains.by_field, "run_end": information_gain(shares, np.stack(fresh))}, gains.shares)


def gains_among(case: Case, written: Array, hypotheses: Sequence[Hypothesis], probability: Array) -> Gains:
    """Work out the gains of the readings that were taken, for accounts that have been weighed already."""
    accounts, shares = _in_doubt(hypotheses, probability)
    gains = {"dampers": _count_gain([account.heads for account in accounts], shares)}
    fresh = np.stack([fresh_readings(case, written, account) for account in accounts], axis=1)
    gains |= {name: information_gain(shares, each) for name, each in zip(case.fields, fresh, strict=True)}
    return Gains(gains, tuple(shares.tolist()))


def _in_doubt(hypotheses: Sequence[Hypothesis], probability: Array) -> tuple[list[Hypothesis], Array]:
    """Keep the accounts that matter, with probabilities that add up to 1."""
    keep = [i for i in np.argsort(-probability)[:_MOST_ACCOUNTS].tolist() if probability[i] > _NEGLIGIBLE]
    return [hypotheses[i] for i in keep], probability[keep] / probability[keep].sum()


def fresh_readings(case: Case, written: Array, account: Hypothesis) -> Array:
    """Predict what each reading would say if it were taken again, rightly, were an account true.

    Args:
        case: the section as a problem of naming.
        written: the readings in the order of the case's fields, mm.
        account: what is taken to be true.

    Returns:
        Mean and standard deviation of each reading, shape (number of fields, 2), mm; reading again is uncertain anew.
    """
    meant = [meant_sight(case, name, u_mm, account.heads) for name, u_mm in zip(case.fields, case.u_mm, strict=True)]
    return _fresh(case, written, account, meant, case.u_mm)


def _fresh(case: Case, written: Array, account: Hypothesis, meant: list[Sight], u_mm: Sequence[float]) -> Array:
    """Predict readings, mean and standard deviation, from the wires as an account of the written ones places them."""
    mean, covariance = condition(list(account.sights), written.tolist(), prior_under(case, account), account.heads)
    rows = design_matrix(meant, account.heads)
    variance = np.einsum("ij,jk,ik->i", rows, covariance, rows) + np.square(u_mm)
    return np.stack([rows @ mean, np.sqrt(variance)], axis=1)


def _count_gain(counts: list[int], shares: Array) -> float:
    """Expected loss of doubt (nats) when the heads are counted again: the entropy of the count."""
    each = [float(shares[[c == count for c in counts]].sum()) for count in set(counts)]
    return -math.fsum(share * math.log(share) for share in each if share > 0)


def information_gain(shares: Array, fresh: Array) -> float:
    """Expected loss of doubt about the accounts when one reading is taken afresh.

    The mutual information of account and reading, sum_h p_h E_h[log(f_h / f)], with the inner mean by Gauss-Hermite
    quadrature.

    Args:
        shares: probabilities of the accounts, shape (H,), summing to 1.
        fresh: mean and standard deviation of the reading under each account, shape (H, 2), mm.

    Returns:
        The gain in nats, from 0 up to the entropy of the accounts.
    """
    nodes, weights = _gauss_hermite()
    mean, sd = fresh[:, 0], fresh[:, 1]
    at = mean[:, None] + sd[:, None] * nodes
    own = -0.5 * nodes**2 - np.log(sd)[:, None]
    apart = (at[:, :, None] - mean) / sd
    log_each = -0.5 * apart**2 - np.log(sd)
    top = log_each.max(axis=2)
    mixture = top + np.log(np.exp(log_each - top[:, :, None]) @ shares)
    return float(shares @ ((own - mixture) @ weights) / weights.sum())


@lru_cache(maxsize=1)
def _gauss_hermite() -> tuple[Array, Array]:
    nodes, weights = np.polynomial.hermite_e.hermegauss(15)
    return nodes, weights
