"""Least money and its proof: quick bound, linear programme, dives, until plan and bound meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from railwright.shop.cutting.bound import Need, cheapest, need_of, quick_weights
from railwright.shop.cutting.columns import Master, Pricing, improving, whole_weights
from railwright.shop.cutting.dive import Budget, Dive, pack
from railwright.shop.cutting.instance import Instance, Pattern, pattern_cost

_DEVIATIONS = 3


@dataclass(slots=True)
class Answer:
    """A plan, the bound on the money of all plans, and the weightings that give the bound."""

    patterns: list[Pattern]
    bound: int
    needs: list[Need]


def least_money(instance: Instance, patterns: list[Pattern], node_limit: int) -> Answer:
    """Improve plan and bound until they meet or the steps are used up.

    Args:
        instance: pieces and stock; the stock suffices.
        patterns: any plan that places all pieces.
        node_limit: how many linear programmes may be solved.

    Returns:
        The best plan and the best bound.
    """
    needs = [need_of(instance, weights) for weights in quick_weights(instance)]
    answer = Answer(patterns, cheapest(instance, needs), needs)
    if pattern_cost(patterns, instance) > answer.bound:
        better = pack(instance, pattern_cost(patterns, instance))
        answer.patterns = better or patterns
    if pattern_cost(answer.patterns, instance) > answer.bound:
        _by_columns(instance, answer, Budget(node_limit))
    answer.needs = essential(instance, answer.needs, answer.bound)
    return answer


def _by_columns(instance: Instance, answer: Answer, budget: Budget) -> None:
    """Raise the bound by the linear programme, then dive for a plan that costs no more."""
    master = Master(instance)
    master.add(answer.patterns)
    _raise_bound(instance, master, answer, budget)
    if pattern_cost(answer.patterns, instance) > answer.bound:
        dive = Dive(instance, master, answer.patterns, answer.bound, budget)
        dive.run(_DEVIATIONS)
        answer.patterns = dive.best


def _raise_bound(instance: Instance, master: Master, answer: Answer, budget: Budget) -> None:
    """Make columns until none improves; the last weights bound the money."""
    while budget.take():
        solution = master.solve()
        pricing = Pricing(instance, whole_weights(solution.piece_prices, instance), instance.demand)
        if not master.add(improving(master, pricing, solution, 6)):
            break
    bound = cheapest(instance, [*answer.needs, pricing.need()])
    if bound > answer.bound:
        answer.bound = bound
        answer.needs.append(pricing.need())


def essential(instance: Instance, needs: Sequence[Need], bound: int) -> list[Need]:
    """Keep only weightings without which the bound would fall."""
    kept = list(needs)
    for need in list(needs):
        fewer = [other for other in kept if other is not need]
        if cheapest(instance, fewer) >= bound:
            kept = fewer
    return kept
