"""The linear programme over patterns, its columns made as they are needed.

Least money so that every piece is on some bar: a column is a pattern, a row a type of piece, further rows keep to
the bars to be had. The prices of the rows, made whole numbers, are a weighting: the dynamic programme that finds
the next column gives at the same time what every bar is worth, and so an integer bound (Gilmore and Gomory, Oper.
Res. 9, 1961; the whole-number bound after A. A. Farley, Oper. Res. 38, 1990; both from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import highspy
import numpy as np
from numpy.typing import NDArray

from railwright.shop.cutting.bound import Need, split_counts
from railwright.shop.cutting.instance import Instance, Pattern

#: Whole-number weights are the row prices times this over the price of the cheapest bar, at most.
_SCALE = 10**8
#: Patterns looked for on each stock: the best of all types, and of the wider types alone.
STAGES = 6
_SINGLE = 2
_INFINITE = highspy.kHighsInf


@dataclass(frozen=True, slots=True)
class Solution:
    """Values of the columns, prices of the piece rows and of the stock rows, and the money, in cents."""

    values: NDArray[np.float64]
    piece_prices: NDArray[np.float64]
    stock_prices: NDArray[np.float64]
    cents: float


class _Quiet(highspy.Highs):  # type: ignore[misc, unused-ignore]
    """A solver that prints nothing, not even its name: it is silenced before it first speaks."""

    def enableCallbacks(self) -> None:
        self.setOptionValue("output_flag", False)


class Master:
    """The linear programme; columns are only ever added, unfit ones are switched off."""

    def __init__(self, instance: Instance) -> None:
        """Set up the rows; there are no patterns yet."""
        self.instance = instance
        self.patterns: list[Pattern] = []
        self._known: set[Pattern] = set()
        self._kinds = len(instance.widths)
        self._asked = [*instance.demand, *instance.limit]
        self._lp: highspy.Highs = _Quiet()  # type: ignore[no-untyped-call, unused-ignore]
        self._lp.setOptionValue("output_flag", False)
        self._lp.setOptionValue("threads", 1)
        self._lp.setOptionValue("presolve", "off")
        self._lp.setOptionValue("solver", "simplex")
        for demand in instance.demand:
            self._lp.addRow(float(demand), _INFINITE, 0, [], [])
        for limit in instance.limit:
            self._lp.addRow(-_INFINITE, float(limit), 0, [], [])
        self._shortage()

    def _shortage(self) -> None:
        """Let pieces be missing at a price above any plan's, so that there always is a solution."""
        dear = 2.0 * max(self.instance.prices) + 1.0
        for kind in range(self._kinds):
            self._lp.addCol(dear, 0.0, _INFINITE, 1, [kind], [1.0])

    def add(self, patterns: Sequence[Pattern]) -> int:
        """Add the patterns that are not yet there and return how many these were."""
        fresh = [pattern for pattern in dict.fromkeys(patterns) if pattern not in self._known]
        for stock, kinds in fresh:
            rows = [kind for kind, _ in kinds] + [self._kinds + stock]
            entries = [float(count) for _, count in kinds] + [1.0]
            self._lp.addCol(float(self.instance.prices[stock]), 0.0, _INFINITE, len(rows), rows, entries)
        self.patterns += fresh
        self._known.update(fresh)
        return len(fresh)

    def restrict(self, demand: Sequence[int], limit: Sequence[int]) -> None:
        """Ask for other demands and limits; patterns with a piece too many are switched off."""
        for row, count in enumerate([*demand, *limit]):
            if count != self._asked[row]:
                low, high = (float(count), _INFINITE) if row < self._kinds else (-_INFINITE, float(count))
                self._lp.changeRowBounds(row, low, high)
                self._asked[row] = count
        columns = np.arange(self._kinds, self._kinds + len(self.patterns), dtype=np.int32)
        fits = [all(count <= demand[kind] for kind, count in kinds) for _, kinds in self.patterns]
        tops = np.where(fits, _INFINITE, 0.0)
        self._lp.changeColsBounds(len(columns), columns, np.zeros(len(columns)), tops)

    def solve(self) -> Solution:
        """Solve the programme over the columns there are."""
        self._lp.run()
        found = self._lp.getSolution()
        prices = np.asarray(found.row_dual)
        return Solution(
            np.asarray(found.col_value)[self._kinds :],
            np.maximum(prices[: self._kinds], 0.0),
            np.minimum(prices[self._kinds :], 0.0),
            self._lp.getInfo().objective_function_value,
        )


class Pricing:
    """The knapsack programme of one weighting: what each bar is worth, and the patterns worth most."""

    def __init__(self, instance: Instance, weights: Sequence[int], demand: Sequence[int]) -> None:
        """Run the programme for a weighting; no type is taken more often than ``demand`` says."""
        self.instance, self.weights = instance, tuple(weights)
        most = max(instance.rooms)
        self.best = np.zeros(most + 1, dtype=np.int64)
        self._steps: list[tuple[int, int, int, NDArray[np.bool_]]] = []
        for kind, (width, count, weight) in enumerate(zip(instance.widths, demand, weights, strict=True)):
            if weight > 0 and count > 0:
                for part in split_counts(min(count, most // width)):
                    if part * width <= most:
                        self._offer(kind, part, part * width, part * weight)

    def _offer(self, kind: int, part: int, width: int, weight: int) -> None:
        """Offer some pieces of one type, all or none, to every room."""
        taken = self.best[:-width] + weight
        better = taken > self.best[width:]
        np.copyto(self.best[width:], taken, where=better)
        self._steps.append((kind, part, width, better))

    def need(self) -> Need:
        """Return the weighting with its worths; right only for the demand of the instance."""
        total = sum(weight * count for weight, count in zip(self.weights, self.instance.demand, strict=True))
        return Need(self.weights, total, tuple(int(self.best[room]) for room in self.instance.rooms))

    def pattern(self, stock: int, steps: int | None = None) -> Pattern:
        """Return the pattern worth most on one bar, of the first ``steps`` offers alone if that is given."""
        room = self.instance.rooms[stock]
        counts: dict[int, int] = {}
        for kind, part, width, better in reversed(self._steps[:steps]):
            if room >= width and better[room - width]:
                counts[kind] = counts.get(kind, 0) + part
                room -= width
        return stock, tuple(sorted(counts.items()))

    def stages(self, number: int) -> list[int | None]:
        """Return some numbers of offers, evenly spread, the full number first."""
        total = len(self._steps)
        return [None, *sorted({total * part // number for part in range(1, number)} - {0}, reverse=True)]


def whole_weights(prices: NDArray[np.float64], instance: Instance) -> tuple[int, ...]:
    """Make the prices of the piece rows whole numbers, fine enough that rounding costs no bar."""
    paid = [price for price in instance.prices if price > 0]
    scale = _SCALE / min(paid, default=1)
    return tuple(int(price) for price in np.floor(prices * scale + 0.5))


def coarse(instance: Instance, cells: int = 4_000) -> Instance:
    """Measure with a coarser rule, widths rounded up and rooms down: every pattern that fits there fits truly.

    Args:
        instance: the pieces and the stock.
        cells: the greatest room wanted, in units of the coarse rule.

    Returns:
        The instance in coarse units; the same one where its rooms are small enough.
    """
    unit = -(-max(instance.rooms) // cells)
    if unit <= 1:
        return instance
    return Instance(
        tuple(-(-width // unit) for width in instance.widths),
        instance.demand,
        tuple(room // unit for room in instance.rooms),
        instance.prices,
        instance.limit,
    )


def fresh_columns(master: Master, solution: Solution, demand: Sequence[int], measures: Sequence[Instance]) -> int:
    """Add improving patterns, looked for with the coarse rule first.

    Args:
        master: the linear programme, just solved.
        solution: what it found.
        demand: pieces of each type that a pattern may hold.
        measures: the instance by coarser and finer rules, in the order to try them.

    Returns:
        How many patterns were added.
    """
    weights = whole_weights(solution.piece_prices, master.instance)
    for measure in measures:
        added = master.add(improving(master, Pricing(measure, weights, demand), solution, STAGES))
        if added:
            return added
    return 0


def row_prices(instance: Instance, patterns: Sequence[Pattern], steps: int) -> NDArray[np.float64]:
    """Solve the programme with new columns for some steps and return the price of each type, in cents."""
    master = Master(instance)
    master.add(patterns)
    solution = master.solve()
    for _ in range(steps):
        if not fresh_columns(master, solution, instance.demand, [coarse(instance)]):
            break
        solution = master.solve()
    return solution.piece_prices


def improving(master: Master, pricing: Pricing, solution: Solution, stages: int) -> list[Pattern]:
    """Collect patterns that would lower the money at the present prices."""
    found: list[Pattern] = []
    for stock in range(len(master.instance.rooms)):
        if master.instance.limit[stock] == 0:
            continue
        gain = master.instance.prices[stock] - solution.stock_prices[stock]
        # single bars, mostly offcuts, are many: one new pattern each keeps the programme small
        for steps in pricing.stages(stages if master.instance.limit[stock] > _SINGLE else 1):
            pattern = pricing.pattern(stock, steps)
            worth = sum(solution.piece_prices[kind] * count for kind, count in pattern[1])
            if worth > gain + 1e-7 * (1 + gain):
                found.append(pattern)
    return list(dict.fromkeys(found))
