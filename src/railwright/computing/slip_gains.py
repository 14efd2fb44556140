"""Which reading of a section, taken again, is expected to tell most about what went wrong."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.gap_model import RUN_HEADS, Sight, condition, design_matrix
from railwright.computing.readings import reading_u
from railwright.computing.results import Array
from railwright.computing.sharpening import finer_steps
from railwright.computing.slip_cases import Case, case_of, meant_sight
from railwright.computing.slip_hypotheses import Hypothesis, prior_under
from railwright.computing.slip_weighing import weigh
from railwright.survey.records import SectionSurvey, Survey

#: Accounts less likely than this play no part in choosing what to measure again.
_NEGLIGIBLE = 1e-3
_MOST_ACCOUNTS = 40


@dataclass(frozen=True, slots=True)
class Gains:
    """Expected loss of doubt (nats) by taking each reading anew, and the probabilities of the accounts in doubt.

    ``by_field`` goes by field names without the section; ``finer`` by field name and a finer step, mm.
    """

    by_field: Mapping[str, float]
    shares: tuple[float, ...]
    finer: Mapping[tuple[str, float], float] = field(default_factory=dict)

    def best(self, names: Collection[str]) -> str:
        """Name the most telling of some readings, such as ``run``."""
        return max(names, key=lambda name: self.by_field[name])


def gains_of(section: SectionSurvey, survey: Survey, book: ShopBook) -> Gains:
    """Work out how much each reading of a section, taken anew, is expected to tell about what went wrong.

    Args:
        section: a section that can be tested.
        survey: gives head width, steps and texts.
        book: gives the prior and the weights.

    Returns:
        The gains by field name: ``dampers``, ``span`` and the runs that were taken; the second run where it was not
        taken and would see other gaps than the first; and ``head_width``. All but the count also to finer steps.
    """
    case, written = case_of(section, survey, book)
    hypotheses, probability, _ = weigh(section, survey, case, written)
    accounts, shares = _in_doubt(hypotheses, probability)
    names = [*case.fields, *_second_run(case), "head_width"]
    fresh = np.stack([_fresh(case, written, account, _meant(case, account, names)) for account in accounts], axis=1)
    keys = {name: name if name == "head_width" else section.key(name) for name in names}

    def gain(name: str, step_mm: float) -> float:
        u_mm = reading_u(step_mm, case.u_set_mm)
        return information_gain(shares, _read(fresh[names.index(name)], u_mm))

    steps = {name: survey.step_of(key) for name, key in keys.items()}
    by_field = {"dampers": _count_gain(accounts, shares), **{name: gain(name, steps[name]) for name in names}}
    finer = {(name, step): gain(name, step) for name in names for step in finer_steps(steps[name], survey.unit)}
    return Gains(by_field, tuple(shares.tolist()), finer)


def gains_among(case: Case, written: Array, hypotheses: Sequence[Hypothesis], probability: Array) -> Gains:
    """Work out the gains of count, readings taken and a second run, for accounts that have been weighed already.

    A second run that was not taken is reckoned to be read as finely as the first.
    """
    accounts, shares = _in_doubt(hypotheses, probability)
    names = [*case.fields, *_second_run(case)]
    fresh = np.stack([_fresh(case, written, account, _meant(case, account, names)) for account in accounts], axis=1)
    u_mm = dict(zip(names, (*case.u_mm, case.u_mm[-1]), strict=False))
    gains = {name: information_gain(shares, _read(each, u_mm[name])) for name, each in zip(names, fresh, strict=True)}
    return Gains({"dampers": _count_gain(accounts, shares), **gains}, tuple(shares.tolist()))


def _second_run(case: Case) -> tuple[str, ...]:
    """Name the second run where it was not taken and would see other gaps than the first."""
    return ("run_end",) if "run" in case.fields and "run_end" not in case.fields and case.heads > RUN_HEADS else ()


def _meant(case: Case, account: Hypothesis, names: Sequence[str]) -> list[Sight]:
    """See readings as they are meant to be taken, were an account true; their own uncertainty is left to the caller."""
    return [
        Sight(1, 0, 1.0, 0.0) if name == "head_width" else meant_sight(case, name, 0.0, account.heads) for name in names
    ]


def _read(fresh: Array, u_mm: float) -> Array:
    """Add the uncertainty of reading to what is expected of a length: mean and standard deviation, shape (H, 2)."""
    return np.stack([fresh[:, 0], np.sqrt(fresh[:, 1] + u_mm**2)], axis=1)


def _in_doubt(hypotheses: Sequence[Hypothesis], probability: Array) -> tuple[list[Hypothesis], Array]:
    """Keep the accounts that matter, with probabilities that add up to 1."""
    keep = [i for i in np.argsort(-probability)[:_MOST_ACCOUNTS].tolist() if probability[i] > _NEGLIGIBLE]
    return [hypotheses[i] for i in keep], probability[keep] / probability[keep].sum()


def fresh_reading(case: Case, written: Array, account: Hypothesis, name: str) -> float:
    """Predict the true length of one reading, were an account true, mm."""
    return float(_fresh(case, written, account, _meant(case, account, [name]))[0, 0])


def _fresh(case: Case, written: Array, account: Hypothesis, meant: list[Sight]) -> Array:
    """Predict lengths, mean (mm) and variance (mm2), from the wires as an account of the readings places them."""
    mean, covariance = condition(list(account.sights), written.tolist(), prior_under(case, account), account.heads)
    rows = design_matrix(meant, account.heads)
    return np.stack([rows @ mean, np.einsum("ij,jk,ik->i", rows, covariance, rows)], axis=1)


def _count_gain(accounts: Sequence[Hypothesis], shares: Array) -> float:
    """Expected loss of doubt (nats) when the heads are counted again: the entropy of the count."""
    counts = [account.heads for account in accounts]
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
