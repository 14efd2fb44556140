"""Least money and its proof: quick bound, linear programme, dives, until plan and bound meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from railwright.shop.cutting.bound import Need, cheapest, need_of, quick_weights
from railwright.shop.cutting.columns import STAGES, Master, Pricing, coarse, fresh_columns, improving, whole_weights
from railwright.shop.cutting.dive import Budget, Dive, pack
from railwright.shop.cutting.instance import Instance, Pattern, pattern_cost


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
        better = pack(instance, pattern_cost(patterns, instance), 8)
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
        dive.run()
        answer.patterns = dive.best


def _raise_bound(instance: Instance, master: Master, answer: Answer, budget: Budget) -> None:
    """Make columns until none improves or whole bars cost no less than the programme's parts of bars."""
    solution = master.solve()
    rough = coarse(instance)
    while rough is not instance and budget.take() and fresh_columns(master, solution, instance.demand, [rough]):
        solution = master.solve()
    while budget.take():
        pricing = Pricing(instance, whole_weights(solution.piece_prices, instance), instance.demand)
        _note_bound(instance, answer, pricing.need())
        if answer.bound >= solution.cents or not master.add(improving(master, pricing, solution, STAGES)):
            break
        solution = master.solve()


def _note_bound(instance: Instance, answer: Answer, need: Need) -> None:
    """Keep a weighting if it raises the bound, alone or together with the others."""
    bound = cheapest(instance, [*answer.needs, need])
    if bound > answer.bound:
        answer.bound = bound
        answer.needs.append(need)


def essential(instance: Instance, needs: Sequence[Need], bound: int) -> list[Need]:
    """Keep only weightings without which the bound would fall."""
    kept = list(needs)
    for need in list(needs):
        fewer = [other for other in kept if other is not need]
        if cheapest(instance, fewer) >= bound:
            kept = fewer
    return kept
