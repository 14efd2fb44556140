"""Least money and its proof: quick bound, linear programme, dives, until plan and bound meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from railwright.shop.cutting.balance import fill_balanced
from railwright.shop.cutting.bound import Need, bound_and_counts, cheapest, counts_below, need_of, quick_weights
from railwright.shop.cutting.certificate import Choices
from railwright.shop.cutting.columns import STAGES, Master, Pricing, coarse, fresh_columns, improving, whole_weights
from railwright.shop.cutting.dive import Budget, Dive, pack
from railwright.shop.cutting.heuristic import fill_counts
from railwright.shop.cutting.instance import Instance, Pattern, pattern_cost, residual
from railwright.shop.cutting.recipe import fill_by_recipes
from railwright.shop.cutting.search import SEARCH_NODES, SMALL, cheaper_plan

#: More types than these are not put into one linear programme.
LARGE = 260
#: How most bars are filled, as seed and number of pieces that are left to the dives.
_TRIES = ((0, 120), (1, 120), (0, 220))
#: Choices of bars that are tried, and bars more than needed, one after the other.
_COUNTS = 4
_EXTRA = 6
_DIVE_STEPS = 150
#: Steps for single choices of bars, and how many of the cheapest are looked at.
_COUNT_STEPS = 500
_CHOICES = 6
#: Less than this many missing pieces are a rounding error.
_NOTHING = 1e-6


@dataclass(slots=True)
class Answer:
    """A plan, the bound on the money of all plans, and the weightings that give the bound."""

    patterns: list[Pattern]
    bound: int
    needs: list[Need]
    search_nodes: int = 0


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
    budget = Budget(node_limit)
    for improve in (_by_filling, _by_balance, _by_columns, _by_counts, _by_search):
        if pattern_cost(answer.patterns, instance) > answer.bound:
            improve(instance, answer, budget)
    if not answer.search_nodes:
        answer.needs = essential(instance, answer.needs, answer.bound)
    return answer


def _by_filling(instance: Instance, answer: Answer, budget: Budget) -> None:
    """Fill the cheapest counts of bars that the bound allows."""
    if len(instance.widths) <= LARGE:
        better = pack(instance, pattern_cost(answer.patterns, instance), 8, 3)
        answer.patterns = better or answer.patterns


def _by_balance(instance: Instance, answer: Answer, budget: Budget) -> None:
    """Fill most bars in balance, and the last ones by columns; for many different pieces."""
    if len(instance.widths) <= LARGE:
        return
    cents = pattern_cost(answer.patterns, instance)
    counts = [choice for _, choice in counts_below(instance, answer.needs, cents, _COUNTS)]
    attempts = [(choice, seed, keep) for choice in counts[:1] for seed, keep in _TRIES]
    attempts += [(choice, *_TRIES[0]) for choice in counts[1:]]
    attempts += [(_with_more(instance, counts[0], extra), *_TRIES[0]) for extra in range(1, _EXTRA + 1)]
    for choice, seed, keep in attempts:
        found = complete(instance, choice, seed, keep, budget)
        if found is not None and pattern_cost(found, instance) < cents:
            answer.patterns = found
            return


def _with_more(instance: Instance, counts: Sequence[int], extra: int) -> tuple[int, ...]:
    """Add bars of the stock with the most room for its money."""
    paid = [k for k, price in enumerate(instance.prices) if price > 0]
    best = max(paid, key=lambda k: (instance.rooms[k] / instance.prices[k], -k))
    return tuple(min(instance.limit[k], n + extra * (k == best)) for k, n in enumerate(counts))


def complete(instance: Instance, counts: Sequence[int], seed: int, keep: int, budget: Budget) -> list[Pattern] | None:
    """Place all pieces into given bars: most by recipe or in balance, the last ones by dives.

    Args:
        instance: the pieces and the stock.
        counts: how many bars of each stock there are.
        seed: another drawing each; an even one by recipe, an odd one in balance.
        keep: so many pieces are left to the dives.
        budget: the steps that are left.

    Returns:
        The patterns, ``None`` if some piece found no room.
    """
    allowed = Instance(instance.widths, instance.demand, instance.rooms, instance.prices, tuple(counts))
    fixed = fill_by_recipes(allowed, keep, seed) if seed % 2 == 0 else fill_balanced(allowed, counts, keep, seed)
    rest = residual(allowed, fixed)
    kinds = [kind for kind, count in enumerate(rest.demand) if count]
    if not kinds:
        return fixed
    if len(kinds) > LARGE:
        return None
    small = Instance(
        tuple(rest.widths[kind] for kind in kinds),
        tuple(rest.demand[kind] for kind in kinds),
        rest.rooms,
        rest.prices,
        rest.limit,
    )
    if sum(room * count for room, count in zip(small.rooms, small.limit, strict=True)) < small.total:
        return None
    most = sum(price * count for price, count in zip(small.prices, small.limit, strict=True))
    master = Master(small)
    master.add(fill_counts(small, small.limit, 2))
    dive = Dive(small, master, [], most, most, Budget(min(budget.left, _DIVE_STEPS)))
    dive.run()
    if not dive.best:
        return None
    return fixed + [(stock, tuple((kinds[kind], n) for kind, n in held)) for stock, held in dive.best]


def _by_columns(instance: Instance, answer: Answer, budget: Budget) -> None:
    """Raise the bound by the linear programme, then dive for a plan that costs no more."""
    if len(instance.widths) > LARGE:
        return
    master = Master(instance)
    master.add(answer.patterns)
    _raise_bound(instance, master, answer, budget)
    if pattern_cost(answer.patterns, instance) > answer.bound:
        most = pattern_cost(answer.patterns, instance) - 1
        dive = Dive(instance, master, answer.patterns, most, answer.bound, budget)
        dive.run()
        answer.patterns = dive.best


def _by_counts(instance: Instance, answer: Answer, budget: Budget) -> None:
    """Take the cheapest choices of bars one by one: either weights rule a choice out, or it is filled."""
    budget.left = max(budget.left, 0) + _COUNT_STEPS if len(instance.widths) <= LARGE else 0
    while budget.left > 0:
        cents = pattern_cost(answer.patterns, instance)
        bound, found = bound_and_counts(instance, answer.needs, cents, _CHOICES)
        answer.bound = max(answer.bound, bound)
        cheapest_ones = [counts for money, counts in found if money == answer.bound]
        if not cheapest_ones or not any(_settle(instance, answer, counts, budget) for counts in cheapest_ones):
            return


def _settle(instance: Instance, answer: Answer, counts: tuple[int, ...], budget: Budget) -> bool:
    """Rule out a choice of bars, or fill it; say whether either was done."""
    free = replace(instance, prices=(0,) * len(counts), limit=counts)
    master = Master(free)
    master.add([pattern for pattern in answer.patterns if counts[pattern[0]]])
    master.add(fill_counts(free, counts, 2))
    while budget.take():
        solution = master.solve()
        if solution.cents < _NOTHING:
            break
        weights = whole_weights(solution.piece_prices, free)
        pricing = Pricing(instance, weights, instance.demand)
        need = pricing.need()
        if need.total > sum(worth * count for worth, count in zip(need.worth, counts, strict=True)):
            answer.needs.append(need)
            return True
        rough = fresh_columns(master, solution, instance.demand, [coarse(free)])
        if not rough and not master.add(improving(master, pricing, solution, STAGES)):
            return False
    dive = Dive(free, master, [], 0, 0, Budget(min(budget.left, _DIVE_STEPS)))
    dive.run()
    budget.left -= _DIVE_STEPS
    if dive.best:
        answer.patterns = dive.best
    return bool(dive.best)


def _by_search(instance: Instance, answer: Answer, budget: Budget) -> None:
    """Search completely, where there are few pieces."""
    while instance.pieces <= SMALL:
        cents = pattern_cost(answer.patterns, instance)
        choices = Choices(
            cents,
            instance.prices,
            instance.limit,
            [need.total for need in answer.needs],
            [need.worth for need in answer.needs],
            instance.pieces,
        )
        sure, better = cheaper_plan(instance, cents, choices)
        if better is None:
            if sure:
                answer.bound, answer.search_nodes = cents, SEARCH_NODES
            return
        answer.patterns = better


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
    if cheapest(instance, kept) < bound:
        return kept
    for need in list(needs):
        fewer = [other for other in kept if other is not need]
        if cheapest(instance, fewer) >= bound:
            kept = fewer
    return kept
