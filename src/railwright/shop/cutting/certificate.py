"""The check of a plan and of its bound, apart from everything that made them.

It uses the pieces, the stock and the plan alone. The plan: every piece once, every bar within its length, no bar
that is not to be had, the money added up anew. The bound: what each bar can be worth under the weights of the
certificate is computed by a plain knapsack programme over whole numbers, and every choice of bars cheaper than
the bound must break one of the weightings, or hold the pieces in no arrangement.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import gcd

import numpy as np

from railwright.shop.cutting.model import Certificate, Piece, Plan, Stock

_MOST_CHOICES = 300_000
_MOST_UNITS = 2_000_000


def check(plan: Plan, pieces: Sequence[Piece], stock: Sequence[Stock]) -> list[str]:
    """Verify a plan and its bound.

    Args:
        plan: the plan to verify.
        pieces: the pieces that were asked for.
        stock: the bars and offcuts that were to be had.

    Returns:
        What is wrong, one sentence each; empty where plan and bound hold.
    """
    return [
        *_check_pieces(plan, pieces),
        *_check_bars(plan, stock),
        *_check_money(plan),
        *_check_bound(plan, stock),
        *_check_shelf(plan, stock),
    ]


def _check_pieces(plan: Plan, pieces: Sequence[Piece]) -> Iterator[str]:
    """Compare the pieces of the plan, placed or not, with those that were asked for."""
    placed = Counter(piece for bar in plan.bars for piece in bar.pieces)
    wanted, held = Counter(pieces), placed + Counter(plan.unplaced)
    for piece in (wanted - held) + (held - wanted):
        yield f"piece {piece.label}: wanted {wanted[piece]} times, in the plan {held[piece]} times"


def _check_bars(plan: Plan, stock: Sequence[Stock]) -> Iterator[str]:
    """Measure every bar and count how many of each stock are used."""
    for number, bar in enumerate(plan.bars, start=1):
        used = sum(piece.length + plan.kerf for piece in bar.pieces)
        if used > bar.stock.length - plan.trim + plan.kerf:
            yield f"bar {number}: its pieces are longer than the bar"
        if bar.remnant != max(0, bar.stock.length - plan.trim - used):
            yield f"bar {number}: the remnant does not add up"
    for kind, count in Counter(bar.stock for bar in plan.bars).items():
        if kind not in stock:
            yield f"stock {kind.item} of length {kind.length} is not on the list"
        elif count > _available(kind, stock, count):
            yield f"stock {kind.item} of length {kind.length}: {count} bars used, fewer are to be had"


def _available(kind: Stock, stock: Sequence[Stock], enough: int) -> int:
    """Count the bars to be had of one kind, at most ``enough`` for each entry."""
    return sum(enough if other.available is None else other.available for other in stock if other == kind)


def _check_money(plan: Plan) -> Iterator[str]:
    """Add up the bars that are bought and compare with money, bound and claim."""
    cents = sum(0 if bar.stock.offcut else bar.stock.cents for bar in plan.bars)
    if plan.cents != cents:
        yield f"the bars cost {cents} cents, the plan says {plan.cents}"
    if plan.bound_cents > cents:
        yield f"the bound of {plan.bound_cents} cents is above the money of {cents}"
    if plan.proven != (plan.cents == plan.bound_cents):
        yield "the plan calls itself proven where bound and money differ, or the reverse"


def _check_bound(plan: Plan, stock: Sequence[Stock]) -> Iterator[str]:
    """Try every choice of bars that is cheaper than the bound."""
    if plan.bound_cents < 0:
        yield "the bound is below nothing"
    prices, available = [kind.price for kind in stock], [kind.available for kind in stock]
    for fault in _check_choices(plan, stock, plan.certificate, (plan.bound_cents, prices, available)):
        yield f"the bound: {fault}"


def _check_shelf(plan: Plan, stock: Sequence[Stock]) -> Iterator[str]:
    """Try every choice of whole bars from the shelf that is shorter than the bound, beside the bars that are bought."""
    proof = plan.shelf
    if proof is None:
        return
    if not 0 <= proof.bound <= plan.shelf_length:
        yield f"the bound of {proof.bound} tenths from the shelf is not between nothing and {plan.shelf_length}"
    bought = Counter(bar.stock for bar in plan.bars)  # equal entries of the list share what was bought
    lengths = [kind.length if kind.from_shelf else 0 for kind in stock]
    available = [bought.pop(kind, 0) if kind.price else kind.available for kind in stock]
    for fault in _check_choices(plan, stock, proof.certificate, (proof.bound, lengths, available)):
        yield f"the bound of what the shelf gives: {fault}"


def _check_choices(
    plan: Plan, stock: Sequence[Stock], proof: Certificate, question: tuple[int, list[int], list[int | None]]
) -> Iterator[str]:
    """Try every choice of stock that stays below a bound; the question is the bound, the prices and what there is."""
    bound, prices, available = question
    if bound <= 0:
        return
    weightings = [{length + plan.kerf: weight for length, weight in c.weights} for c in proof.covers]
    if any(weight < 0 for weights in weightings for weight in weights.values()):
        yield "the certificate has negative weights"
        return
    widths = Counter(piece.length + plan.kerf for bar in plan.bars for piece in bar.pieces)
    rooms = [max(0, kind.length - plan.trim + plan.kerf) for kind in stock]
    choices = Choices(
        bound,
        prices,
        available,
        [sum(weights.get(width, 0) * n for width, n in widths.items()) for weights in weightings],
        [knapsack_worths(weights, widths, rooms) for weights in weightings],
        sum(widths.values()),
    )
    pieces = sorted(widths.elements(), reverse=True)
    for choice in choices.that_hold():
        if choice is None:
            yield "the certificate leaves too many choices of bars to be verified"
            return
        chosen = [room for room, number in zip(rooms, choice, strict=True) for _ in range(number)]
        if arrangement_exists(pieces, chosen, proof.search_nodes) is not False:
            yield f"bars for less are not ruled out: {choice}"
            return


def knapsack_worths(weights: Mapping[int, int], widths: Mapping[int, int], rooms: Sequence[int]) -> list[int]:
    """Compute the greatest weight that fits into each room, no piece more often than it is wanted.

    Args:
        weights: weight of each width; widths that are missing weigh nothing.
        widths: how often each width is wanted.
        rooms: the rooms.

    Returns:
        The worth of each room.
    """
    most = max(rooms, default=0)
    best = np.zeros(most + 1, dtype=np.int64)
    for width, number in widths.items():
        weight, left, part = weights.get(width, 0), min(number, most // width), 1
        while left > 0 and weight > 0:
            part = min(part, left)
            step = part * width
            if step <= most:
                best[step:] = np.maximum(best[step:], best[:-step] + part * weight)
            left, part = left - part, 2 * part
    return [int(best[room]) for room in rooms]


@dataclass(slots=True)
class Choices:
    """The choices of stock that cost less than a bound, and what every choice must be worth.

    ``totals`` and ``worths`` are, for each weighting, the weight of all pieces and the worth of each stock;
    ``number`` is that of the pieces: more of one stock is never used.
    """

    bound: int
    prices: Sequence[int]
    available: Sequence[int | None]
    totals: Sequence[int]
    worths: Sequence[Sequence[int]]
    number: int

    def that_hold(self) -> Iterator[tuple[int, ...] | None]:
        """Yield the choices cheaper than the bound that keep every weighting; ``None`` where they are too many."""
        limits = [self.number if n is None else min(self.number, max(0, n)) for n in self.available]
        base = [limit if price == 0 else 0 for limit, price in zip(limits, self.prices, strict=True)]
        order = [k for k, price in enumerate(self.prices) if price > 0 and limits[k] > 0]
        # the most worth for the money first: then the search stops early
        order.sort(key=lambda k: (-self.worths[0][k] / self.prices[k] if self.worths else 0.0, k))
        rest = [
            total - sum(worth * count for worth, count in zip(worths, base, strict=True))
            for total, worths in zip(self.totals, self.worths, strict=True)
        ]
        if self.bound <= 0 or self._one_suffices(order, rest):
            return
        stack, steps = [(0, 0, rest, tuple(base))], 0
        while stack:
            place, cents, left, counts = stack.pop()
            steps += 1
            if steps > _MOST_CHOICES:
                yield None
                return
            if cents >= self.bound or self._too_dear(order[place:], cents, left):
                continue
            if place == len(order):
                yield counts
                continue
            k = order[place]
            affordable = min(limits[k], (self.bound - 1 - cents) // self.prices[k])
            # at the last stock only the greatest number matters: more bars hold whatever fewer hold
            for number in range(affordable if place + 1 == len(order) else 0, affordable + 1):
                after = [value - number * worths[k] for value, worths in zip(left, self.worths, strict=True)]
                more = (*counts[:k], number, *counts[k + 1 :])
                stack.append((place + 1, cents + number * self.prices[k], after, more))

    def _one_suffices(self, order: Sequence[int], rest: Sequence[int]) -> bool:
        """Say whether the money below the bound buys too little under one weighting alone.

        A table over the money, in its greatest common unit, as if every stock could be had without limit.
        """
        unit = gcd(*(self.prices[k] for k in order)) or 1
        units = (self.bound - 1) // unit
        if units > _MOST_UNITS:
            return False
        for value, worths in zip(rest, self.worths, strict=True):
            best = np.zeros(units + 1, dtype=np.int64)
            for k in order:
                step = self.prices[k] // unit
                for start in range(step, units + 1, step):
                    part = best[start : start + step]
                    np.maximum(part, best[start - step : start - step + len(part)] + worths[k], out=part)
            if best[-1] < value:
                return True
        return False

    def _too_dear(self, stocks: Sequence[int], cents: int, rest: Sequence[int]) -> bool:
        """Say whether some weighting cannot be kept with the money left, not even with parts of bars."""
        money = self.bound - 1 - cents
        for value, worths in zip(rest, self.worths, strict=True):
            if value > 0 and all(value * self.prices[k] > money * worths[k] for k in stocks):
                return True
        return False


def arrangement_exists(widths: Sequence[int], rooms: Sequence[int], nodes: int) -> bool | None:
    """Search completely whether pieces fit into rooms.

    Args:
        widths: the pieces by falling width.
        rooms: the room of each bar.
        nodes: how many steps the search may take; 0 for no search.

    Returns:
        The answer, ``None`` if the steps did not suffice.
    """
    left, steps = sorted(rooms), 0
    spare = sum(left) - sum(widths)
    # one frame a piece: the place after the last room tried, and that room's place and size
    frames: list[list[int]] = [[0, -1, 0]]
    while frames:
        steps += 1
        if steps > nodes:
            return None
        depth = len(frames) - 1
        if spare < 0:
            return False
        if depth == len(widths):
            return True
        frame = frames[-1]
        if frame[1] >= 0:
            left[frame[1]] = frame[2]
        place = _next_room(left, widths[depth], frame)
        if place is None:
            frames.pop()
            continue
        frame[:] = [left[place], place, left[place]]
        left[place] -= widths[depth]
        frames.append([0, -1, 0])
    return False


def _next_room(left: list[int], width: int, frame: list[int]) -> int | None:
    """Find the smallest room above the last one tried that holds the piece; equal rooms are tried once."""
    least = width if frame[1] < 0 else max(width, frame[0] + 1)
    rooms = [(room, place) for place, room in enumerate(left) if room >= least]
    return min(rooms)[1] if rooms else None
