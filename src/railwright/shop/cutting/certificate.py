"""The check of a plan and of its bound, apart from everything that made them.

It uses the pieces, the stock and the plan alone. The plan: every piece once, every bar within its length, no bar
that is not to be had, the money added up anew. The bound: what each bar can be worth under the weights of the
certificate is computed by a plain knapsack programme over whole numbers, and every choice of bars cheaper than
the bound must break one of the weightings, or hold the pieces in no arrangement.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np

from railwright.shop.cutting.model import Piece, Plan, Stock

_MOST_CHOICES = 300_000


def check(plan: Plan, pieces: Sequence[Piece], stock: Sequence[Stock]) -> list[str]:
    """Verify a plan and its bound.

    Args:
        plan: the plan to verify.
        pieces: the pieces that were asked for.
        stock: the bars and offcuts that were to be had.

    Returns:
        What is wrong, one sentence each; empty where plan and bound hold.
    """
    return [*_check_pieces(plan, pieces), *_check_bars(plan, stock), *_check_money(plan), *_check_bound(plan, stock)]


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
    if plan.bound_cents <= 0:
        if plan.bound_cents < 0:
            yield "the bound is below nothing"
        return
    widths = Counter(piece.length + plan.kerf for bar in plan.bars for piece in bar.pieces)
    question = _Question(plan, widths, stock)
    if question.bad_weights:
        yield "the certificate has negative weights"
        return
    for choice in question.choices():
        if choice is None:
            yield "the certificate leaves too many choices of bars to be verified"
            return
        if question.holds(choice):
            yield f"bars for less than the bound are not ruled out: {choice}"
            return


class _Question:
    """Can bars that cost less than the bound hold the pieces of the plan?"""

    def __init__(self, plan: Plan, widths: Counter[int], stock: Sequence[Stock]) -> None:
        self.bound, self.widths, self.nodes = plan.bound_cents, widths, plan.certificate.search_nodes
        number = sum(widths.values())
        rooms = [max(0, kind.length - plan.trim + plan.kerf) for kind in stock]
        prices = [0 if kind.offcut else kind.cents for kind in stock]
        limits = [number if kind.available is None else min(number, max(0, kind.available)) for kind in stock]
        free = [k for k, price in enumerate(prices) if price == 0]
        paid = [k for k, price in enumerate(prices) if price > 0 and limits[k] > 0]
        self.free_rooms = [rooms[k] for k in free for _ in range(limits[k])]
        weightings = [
            {length + plan.kerf: weight for length, weight in cover.weights} for cover in plan.certificate.covers
        ]
        self.bad_weights = any(weight < 0 for weights in weightings for weight in weights.values())
        values = [] if self.bad_weights else [self._worths(weights, rooms) for weights in weightings]
        totals = [sum(weights.get(width, 0) * n for width, n in widths.items()) for weights in weightings]
        self.rest = [
            total - sum(worth[k] * limits[k] for k in free) for total, worth in zip(totals, values, strict=False)
        ]
        # the most worth for the money first: the search below then stops early
        paid.sort(key=lambda k: (-values[0][k] / prices[k] if values else 0.0, k))
        self.rooms, self.prices, self.limits = ([table[k] for k in paid] for table in (rooms, prices, limits))
        self.worth = [[worth[k] for k in paid] for worth in values]

    def _worths(self, weights: dict[int, int], rooms: list[int]) -> list[int]:
        """Compute the greatest weight that fits into each room, no piece more often than it is wanted."""
        most = max(rooms, default=0)
        best = np.zeros(most + 1, dtype=np.int64)
        for width, number in self.widths.items():
            weight, left, part = weights.get(width, 0), min(number, most // width), 1
            while left > 0 and weight > 0:
                part = min(part, left)
                step = part * width
                if step <= most:
                    best[step:] = np.maximum(best[step:], best[:-step] + part * weight)
                left, part = left - part, 2 * part
        return [int(best[room]) for room in rooms]

    def choices(self) -> Iterator[tuple[int, ...] | None]:
        """Yield the choices of bought bars that keep every weighting and cost less than the bound."""
        steps = 0
        stack: list[tuple[tuple[int, ...], int, list[int]]] = [((), 0, self.rest)]
        while stack:
            counts, cents, rest = stack.pop()
            steps += 1
            if steps > _MOST_CHOICES:
                yield None
                return
            if cents >= self.bound or self._too_dear(len(counts), cents, rest):
                continue
            if len(counts) == len(self.rooms):
                yield counts
                continue
            k = len(counts)
            affordable = min(self.limits[k], (self.bound - 1 - cents) // self.prices[k])
            # at the last stock only the greatest number matters: more bars hold whatever fewer hold
            least = affordable if k + 1 == len(self.rooms) else 0
            for number in range(least, affordable + 1):
                left = [value - number * worth[k] for value, worth in zip(rest, self.worth, strict=True)]
                stack.append(((*counts, number), cents + number * self.prices[k], left))

    def _too_dear(self, k: int, cents: int, rest: list[int]) -> bool:
        """Say whether some weighting cannot be kept with the money left, not even with parts of bars."""
        money = self.bound - 1 - cents
        for value, worth in zip(rest, self.worth, strict=True):
            pairs = zip(self.prices[k:], worth[k:], strict=True)
            if value > 0 and all(value * price > money * gain for price, gain in pairs):
                return True
        return False

    def holds(self, choice: tuple[int, ...]) -> bool:
        """Say whether a choice of bars holds the pieces, or may hold them for all the certificate shows."""
        if not self.nodes:
            return True
        rooms = [room for room, number in zip(self.rooms, choice, strict=True) for _ in range(number)]
        pieces = sorted(self.widths.elements(), reverse=True)
        return arrangement_exists(pieces, rooms + self.free_rooms, self.nodes) is not False


def arrangement_exists(widths: Sequence[int], rooms: Sequence[int], nodes: int) -> bool | None:
    """Search completely whether pieces fit into rooms.

    Args:
        widths: the pieces by falling width.
        rooms: the room of each bar.
        nodes: how many steps the search may take.

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
