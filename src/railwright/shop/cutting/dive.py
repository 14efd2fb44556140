"""Whole patterns out of the linear programme: fix the most certain ones, solve again for the rest, and so on.

Where a dive ends without a better plan, the next ones deviate from it at one, two, ... places (limited
discrepancy, Harvey and Ginsberg, 1995; from memory). The steps are counted, never timed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import floor, gcd

from railwright.shop.cutting.bound import counts_below, need_of, quick_weights
from railwright.shop.cutting.columns import Master, Solution, coarse, fresh_columns
from railwright.shop.cutting.heuristic import fill_counts
from railwright.shop.cutting.instance import Instance, Pattern, pattern_cost, residual

_DEVIATIONS = 6
_SURE = 0.75
_ROUNDS = 3
_MOST_ROUNDS = 60
_NEAR = 1e-6


@dataclass(slots=True)
class Budget:
    """The steps that are left; one step is one linear programme with its pricing."""

    left: int

    def take(self) -> bool:
        """Use one step if there is one."""
        self.left -= 1
        return self.left >= 0


@dataclass(slots=True)
class Dive:
    """The search for a plan cheaper than the one there is.

    ``most`` is the greatest money that would be a success; ``aim`` the money to get down to: there the search
    stops.
    """

    instance: Instance
    master: Master
    best: list[Pattern]
    most: int
    aim: int
    budget: Budget
    measures: tuple[Instance, ...] = field(init=False)
    step: int = field(init=False)

    def __post_init__(self) -> None:
        """Prepare the rules for measuring and the least step of money."""
        self.measures = tuple(dict.fromkeys((coarse(self.instance), self.instance)))
        self.step = gcd(*self.instance.prices) or 1

    @property
    def done(self) -> bool:
        """Whether the search is over."""
        return self.most < self.aim or self.budget.left <= 0

    def run(self) -> None:
        """Dive with no deviation, then with at most one, and so on, until the steps are used up."""
        for most in range(_DEVIATIONS + 1):
            if self.done:
                return
            self._node([], self.instance, most)

    def _node(self, fixed: list[Pattern], rest: Instance, deviations: int) -> None:
        """Solve for what is left, fix what is certain, and go on with the best choices of the next pattern."""
        if self._finish(fixed, rest) or self.done:
            return
        spent = pattern_cost(fixed, self.instance)
        solution = self._relax(spent, rest)
        if solution is None or spent + solution.cents > self.most + _NEAR:
            return
        for choice in self._choices(solution, rest, deviations):
            self._node(fixed + choice[0], residual(rest, choice[0]), deviations - choice[1])
            if self.done:
                return

    def _relax(self, spent: int, rest: Instance) -> Solution | None:
        """Solve the linear programme of what is left, with new columns while it promises no better plan."""
        self.master.restrict(rest.demand, rest.limit)
        solution = None
        for turn in range(_MOST_ROUNDS):
            if not self.budget.take():
                return solution
            solution = self.master.solve()
            if turn >= _ROUNDS and spent + solution.cents <= self.most + _NEAR:
                break
            if not fresh_columns(self.master, solution, rest.demand, self.measures):
                break
        return solution

    def _choices(self, solution: Solution, rest: Instance, deviations: int) -> Iterator[tuple[list[Pattern], int]]:
        """Yield patterns to fix next, with the deviations each choice uses up."""
        shares = solution.values
        ranked = sorted(range(len(shares)), key=lambda column: (-(shares[column] % 1), column))
        whole = [
            self.master.patterns[column] for column, share in enumerate(shares) for _ in range(floor(share + _NEAR))
        ]
        sure = [column for column in ranked if _NEAR < shares[column] % 1 < 1 - _NEAR]
        for place, column in enumerate(sure[: deviations + 1] or [-1]):
            more = [column, *(other for other in sure if other != column and shares[other] % 1 > _SURE)]
            wanted = whole + [self.master.patterns[other] for other in more if other >= 0]
            fixed = _that_fit(wanted, rest)
            if fixed:
                yield fixed, place

    def _finish(self, fixed: list[Pattern], rest: Instance) -> bool:
        """Try to complete the plan at once; keep it if it is cheaper than the best."""
        spent = pattern_cost(fixed, self.instance)
        packed = pack(rest, self.most + 1 - spent, 2, 1)
        if packed is not None:
            self.best = fixed + packed
            self.most = pattern_cost(self.best, self.instance) - self.step
        return packed is not None


def _that_fit(wanted: Sequence[Pattern], rest: Instance) -> list[Pattern]:
    """Keep the patterns, in their order, for which pieces and bars are left."""
    demand, limit, kept = list(rest.demand), list(rest.limit), []
    for stock, kinds in wanted:
        if limit[stock] and all(demand[kind] >= count for kind, count in kinds):
            kept.append((stock, kinds))
            limit[stock] -= 1
            for kind, count in kinds:
                demand[kind] -= count
    return kept


def pack(rest: Instance, below: int, tries: int, choices: int) -> list[Pattern] | None:
    """Place all pieces with simple means for less than some money.

    Args:
        rest: pieces and stock.
        below: the money that must not be reached, in cents.
        tries: how many orders of company to try.
        choices: how many choices of bars to try.

    Returns:
        The patterns, ``None`` if that did not succeed.
    """
    if not any(rest.demand):
        return [] if below > 0 else None
    needs = [need_of(rest, weights) for weights in quick_weights(rest)]
    for _, counts in counts_below(rest, needs, below, choices):
        packed = fill_counts(rest, counts, tries)
        if not any(residual(rest, packed).demand):
            return packed
    return None
