"""Whole patterns out of the linear programme: fix the most certain ones, solve again for the rest, and so on.

Where a dive ends without a better plan, the next ones deviate from it at one, two, ... places (limited
discrepancy, Harvey and Ginsberg, 1995; from memory). The steps are counted, never timed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import floor, gcd

from railwright.shop.cutting.bound import counts_below, need_of, quick_weights
from railwright.shop.cutting.columns import Master, Pricing, Solution, improving, whole_weights
from railwright.shop.cutting.heuristic import fill_counts
from railwright.shop.cutting.instance import Instance, Pattern, pattern_cost, residual

_SURE = 0.75
_ROUNDS = 4
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

    ``aim`` is the money to get down to: the search stops there.
    """

    instance: Instance
    master: Master
    best: list[Pattern]
    aim: int
    budget: Budget
    step: int = field(init=False)
    cents: int = field(init=False)

    def __post_init__(self) -> None:
        self.cents = pattern_cost(self.best, self.instance)
        self.step = gcd(*self.instance.prices) or 1

    @property
    def done(self) -> bool:
        """Whether the search is over."""
        return self.cents <= self.aim or self.budget.left <= 0

    def run(self, discrepancies: int) -> None:
        """Dive with no deviation, then with one, and so on."""
        for most in range(discrepancies + 1):
            if self.done:
                return
            self._node([], self.instance, most)

    def _node(self, fixed: list[Pattern], rest: Instance, deviations: int) -> None:
        """Solve for what is left, fix what is certain, and go on with the best choices of the next pattern."""
        if self._finish(fixed, rest) or self.done:
            return
        solution = self._relax(rest)
        if solution is None or pattern_cost(fixed, self.instance) + solution.cents > self.cents - self.step + _NEAR:
            return
        for choice in self._choices(solution, rest, deviations):
            self._node(fixed + choice[0], residual(rest, choice[0]), deviations - choice[1])
            if self.done:
                return

    def _relax(self, rest: Instance) -> Solution | None:
        """Solve the linear programme of what is left, with a few rounds of new columns."""
        self.master.restrict(rest.demand, rest.limit)
        solution = None
        for _ in range(_ROUNDS):
            if not self.budget.take():
                return solution
            solution = self.master.solve()
            weights = whole_weights(solution.piece_prices, self.instance)
            fresh = improving(self.master, Pricing(self.instance, weights, rest.demand), solution, 6)
            if not self.master.add(fresh):
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
        packed = pack(rest, self.cents - spent)
        if packed is not None:
            self.best = fixed + packed
            self.cents = pattern_cost(self.best, self.instance)
        return packed is not None and self.cents <= self.aim


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


def pack(rest: Instance, below: int) -> list[Pattern] | None:
    """Place all pieces with simple means for less than some money.

    Args:
        rest: pieces and stock.
        below: the money that must not be reached, in cents.

    Returns:
        The patterns, ``None`` if that did not succeed.
    """
    if not any(rest.demand):
        return [] if below > 0 else None
    needs = [need_of(rest, weights) for weights in quick_weights(rest)]
    for _, counts in counts_below(rest, needs, below, 3):
        packed = fill_counts(rest, counts)
        if not any(residual(rest, packed).demand):
            return packed
    return None
