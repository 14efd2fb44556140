"""How likely every account of a section is, given its readings, and whether one of them stands out."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from railwright.computing.results import Array
from railwright.computing.slip_accounts import Accounts
from railwright.computing.slip_bank import bank, bank_of
from railwright.computing.slip_cases import Case
from railwright.computing.slip_hypotheses import Hypothesis, swap_hypotheses
from railwright.survey.lengths import spell_length
from railwright.survey.records import SectionSurvey, Survey

UNCLEAR = "unclear"
#: Odds are not told beyond this; the model itself is not that sure of anything.
MOST_ODDS = 1e6
_UNHEARD_OF = 1e-9


def weigh(
    section: SectionSurvey, survey: Survey, case: Case, written: Array
) -> tuple[Sequence[Hypothesis], Array, Array]:
    """Weigh every account of a section's readings.

    Args:
        section: the section's readings.
        survey: gives the texts as written.
        case: the section as a problem of naming.
        written: the readings in the order of the case's fields, mm.

    Returns:
        The accounts, their posterior probabilities and their misfits (chi-square), each of shape (accounts,).
    """
    texts = {
        name: (float(value), _text_of(section.key(name), float(value), survey))
        for name, value in zip(case.fields, written, strict=True)
    }
    banks = [bank_of(case)]
    if swaps := swap_hypotheses(case, texts):
        banks.append(bank(case, swaps))
    misfits = np.concatenate([each.misfits(written) for each in banks])
    scores = np.concatenate([each.constant for each in banks]) - 0.5 * misfits
    likeness = np.exp(scores - scores.max())
    accounts = banks[0].hypotheses
    accounts = accounts.and_also(swaps) if isinstance(accounts, Accounts) else (*accounts, *swaps)
    return accounts, likeness / likeness.sum(), misfits


def _text_of(key: str, value_mm: float, survey: Survey) -> str:
    answer = survey.answers.get(key)
    if answer is not None and answer.text:
        return answer.text
    return spell_length(value_mm, survey.unit, survey.step_of(key))


def ranking_of(hypotheses: Sequence[Hypothesis], probability: Array) -> tuple[tuple[str, float], ...]:
    """Add up the probabilities of accounts of one name (either direction), likeliest first.

    What is too unlikely to bear on any odds that are told is left out.
    """
    total: dict[str, float] = {}
    for place in np.flatnonzero(probability > _UNHEARD_OF).tolist():
        name = hypotheses[place].name
        total[name] = total.get(name, 0.0) + float(probability[place])
    return tuple(sorted(total.items(), key=lambda item: (-item[1], item[0])))


def verdict(ranking: Sequence[tuple[str, float]], needed: float) -> tuple[str, float]:
    """Give the likeliest account's name, or ``unclear`` where its odds over the next are too low, and the odds."""
    best, first = ranking[0]
    odds = min(first / ranking[1][1], MOST_ODDS) if len(ranking) > 1 else MOST_ODDS
    return (best, odds) if best and odds >= needed else (UNCLEAR, odds)


def best_of(name: str, hypotheses: Sequence[Hypothesis], probability: Array) -> Hypothesis:
    """Find the likeliest account of a name."""
    likeliest: list[int] = np.argsort(-probability).tolist()
    return next(hypotheses[place] for place in likeliest if hypotheses[place].name == name)


def lookalikes(best: Hypothesis, hypotheses: Sequence[Hypothesis], probability: Array, odds: float) -> tuple[str, ...]:
    """Name at most two single slips that could pass for the best account, the likelier first.

    Those are the slips that the square of the odds which a name needs does not rule out, be it by the readings alone,
    for the prior weights are known but roughly, or all in all.
    """
    log_weight = np.array([hypothesis.log_weight for hypothesis in hypotheses])
    heard = probability > 0.0
    likelihood = np.full(probability.shape, -np.inf)
    likelihood[heard] = np.log(probability[heard]) - log_weight[heard]
    place_of_best = hypotheses.index(best)
    close = likelihood > likelihood[place_of_best] - 2.0 * math.log(odds)
    close |= probability > probability[place_of_best] / odds**2
    names = {
        hypotheses[place].name: float(probability[place])
        for place in np.flatnonzero(close)[np.argsort(probability[close])].tolist()
        if len(hypotheses[place].names) == 1 and hypotheses[place].name != best.name
    }
    return tuple(sorted(names, key=lambda name: -names[name])[:2])
