"""From pieces and stock to a plan with its proof: the order of the steps, readable from top to bottom."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from railwright.shop.cutting.bound import Need, counts_below, need_of, quick_weights
from railwright.shop.cutting.heuristic import fill_bars, fill_counts
from railwright.shop.cutting.instance import Instance, Pattern, fits_some, make_instance, residual
from railwright.shop.cutting.model import Bar, Certificate, Cover, Piece, Plan, ShelfProof, Stock, remnant
from railwright.shop.cutting.money import Answer, least_money
from railwright.shop.cutting.polish import (
    EMPTY,
    Load,
    best_order,
    exchange,
    gather_rest,
    hand_out,
    sawing_order,
    use_offcuts,
)
from railwright.shop.cutting.refine import merit, refined

NODE_LIMIT = 700


def plan_bars(
    item: str,
    pieces: Sequence[Piece],
    stock: Sequence[Stock],
    kerf: int,
    trim: int = 0,
    node_limit: int = NODE_LIMIT,
) -> Plan:
    """Plan how to saw pieces from bars at the least money.

    The objectives, each among the best of the one before: least money for bought bars; for that purchase least length
    of whole bars from the shelf; most length cut from offcuts; fewest saw set-ups; longest single remnant. The first
    two come with a proof or a bound.

    Args:
        item: code of the material.
        pieces: what is wanted; labels need not differ.
        stock: bars and offcuts of this material.
        kerf: width of one cut, tenths of a millimetre.
        trim: end trim taken once a bar, tenths of a millimetre.
        node_limit: how many steps the search for a better plan or bound may take.

    Returns:
        The plan; the same for the same input on any machine.

    Raises:
        ValueError: kerf or trim is negative.
    """
    if kerf < 0 or trim < 0:
        raise ValueError("kerf and end trim cannot be negative")
    usable = [bar for bar in stock if bar.length > trim and (bar.available is None or bar.available > 0)]
    placeable = [piece for piece in pieces if fits_some(piece, usable, kerf, trim)]
    # the order in which pieces are listed must not matter
    placeable.sort(key=lambda piece: (-piece.length, piece.setup, piece.label))
    instance = make_instance([piece.length for piece in placeable], usable, kerf, trim)
    unfit = [piece for piece in pieces if not fits_some(piece, usable, kerf, trim)]
    problem = _Problem(instance, tuple(usable), kerf, trim)
    patterns, left = construct(instance)
    if any(left):
        bars, unplaced = _short_bars(placeable, patterns, problem)
        return _short_plan(item, bars, (*unfit, *unplaced), kerf, trim)
    answer = least_money(instance, patterns, node_limit)
    spared = _least_shelf(problem, answer.patterns, node_limit)
    bars = _bars(polished(placeable, (spared or answer).patterns, problem), problem)
    cents = sum(bar.stock.price for bar in bars)
    shelf = ShelfProof(spared.bound, _certificate(problem, spared)) if spared else None
    proof = _certificate(problem, answer)
    return Plan(item, kerf, trim, bars, tuple(unfit), cents, answer.bound, cents == answer.bound, proof, shelf)


@dataclass(frozen=True, slots=True)
class _Problem:
    """The instance with what is needed to write the plan down."""

    instance: Instance
    stock: tuple[Stock, ...]
    kerf: int
    trim: int


def _least_shelf(problem: _Problem, patterns: list[Pattern], node_limit: int) -> Answer | None:
    """Take as little as can be of the whole bars on the shelf; the bars that are bought are there already.

    The same question over again: a bar from the shelf costs its length, and what is bought costs nothing more.
    """
    instance, stock = problem.instance, problem.stock
    used = Counter(kind for kind, _ in patterns)
    if not any(stock[kind].from_shelf for kind in used):
        return None
    prices = tuple(bar.length if bar.from_shelf else 0 for bar in stock)
    limits = zip(stock, instance.limit, strict=True)
    limit = tuple(used[k] if bar.price else most for k, (bar, most) in enumerate(limits))
    return least_money(replace(instance, prices=prices, limit=limit), patterns, node_limit)


def _certificate(problem: _Problem, answer: Answer) -> Certificate:
    covers = tuple(_cover(problem.instance, need, problem.kerf) for need in answer.needs if answer.bound)
    return Certificate(covers, answer.search_nodes)


def _short_plan(item: str, bars: tuple[Bar, ...], unplaced: tuple[Piece, ...], kerf: int, trim: int) -> Plan:
    """Report a plan whose stock does not suffice; nothing is claimed about its money."""
    cents = sum(bar.stock.price for bar in bars)
    return Plan(item, kerf, trim, bars, unplaced, cents, 0, cents == 0, Certificate())


def construct(instance: Instance) -> tuple[list[Pattern], list[int]]:
    """Fill the cheapest counts that the bound allows; what finds no room goes on to a further round.

    Args:
        instance: the pieces and the stock.

    Returns:
        The patterns and the pieces of each type for which there is no stock.
    """
    patterns: list[Pattern] = []
    rest = instance
    while any(rest.demand):
        needs = [need_of(rest, weights) for weights in quick_weights(rest)]
        found = counts_below(rest, needs, None, 1)
        more = fill_counts(rest, found[0][1] if found else rest.limit, 1)
        if not more:
            break
        patterns += more
        rest = residual(rest, more)
    return patterns, list(rest.demand)


def _cover(instance: Instance, need: Need, kerf: int) -> Cover:
    """Write a weighting down by piece length."""
    pairs = zip(instance.widths, need.weights, strict=True)
    return Cover(tuple((width - kerf, weight) for width, weight in pairs if weight > 0))


def _short_bars(
    pieces: Sequence[Piece], patterns: Sequence[Pattern], problem: _Problem
) -> tuple[tuple[Bar, ...], tuple[Piece, ...]]:
    """Give out what the stock suffices for; return the other pieces too."""
    room = Counter(problem.instance.widths[kind] for _, kinds in patterns for kind, n in kinds for _ in range(n))
    placed: list[Piece] = []
    over: list[Piece] = []
    for piece in pieces:
        fits = room[piece.length + problem.kerf] > 0
        room[piece.length + problem.kerf] -= fits
        (placed if fits else over).append(piece)
    demand = Counter(piece.length + problem.kerf for piece in placed)
    held = replace(problem.instance, demand=tuple(demand[width] for width in problem.instance.widths))
    return _bars(polished(placed, patterns, replace(problem, instance=held)), problem), tuple(over)


def polished(pieces: Sequence[Piece], patterns: Sequence[Pattern], problem: _Problem) -> list[Load]:
    """Choose among plans with the same bought bars: most from offcuts, fewest set-ups, the longest remnant.

    Args:
        pieces: the pieces that the plan places.
        patterns: a plan.
        problem: instance, stock, kerf and trim.

    Returns:
        The bars in sawing order.
    """
    instance, kerf = problem.instance, problem.kerf
    offcuts = [bar.offcut for bar in problem.stock]
    shelf = use_offcuts(instance, patterns, offcuts)
    tries = []
    for candidate in (shelf, gather_rest(instance, shelf, offcuts), *_grouped(pieces, shelf, problem)):
        loads = hand_out(instance, candidate, pieces, kerf)
        exchange(loads, kerf, offcuts)
        loads = sawing_order(loads, offcuts)
        tries.append(loads)
    spare = [_spare_offcuts(loads, problem) for loads in tries]
    ranks = [merit(loads, [bar.room for bar in bars], kerf, offcuts) for loads, bars in zip(tries, spare, strict=True)]
    best = ranks.index(min(ranks))
    return best_order(refined(tries[best], spare[best], kerf, offcuts), offcuts)


def _grouped(pieces: Sequence[Piece], patterns: Sequence[Pattern], problem: _Problem) -> list[list[Pattern]]:
    """Fill the same bars with pieces in the order of their settings, if that places them all."""
    instance = problem.instance
    if any(problem.stock[stock].offcut for stock, _ in patterns):
        return []
    setting = {piece.length + problem.kerf: piece.setup for piece in reversed(pieces)}
    order = sorted(range(len(instance.widths)), key=lambda kind: (setting.get(instance.widths[kind], ""), kind))
    bars = sorted((stock for stock, _ in patterns), key=lambda k: (instance.rooms[k], k))
    found, left = fill_bars(instance, bars, order, order)
    return [] if any(left) else [found]


def _spare_offcuts(loads: Sequence[Load], problem: _Problem) -> list[Load]:
    """List the offcuts that no piece is on yet."""
    used = Counter(load.stock for load in loads)
    kinds = zip(problem.stock, problem.instance.rooms, problem.instance.limit, strict=True)
    return [
        Load(k, room, [])
        for k, (bar, room, limit) in enumerate(kinds)
        if bar.offcut
        for _ in range(min(limit - used[k], EMPTY))
    ]


def _bars(loads: Sequence[Load], problem: _Problem) -> tuple[Bar, ...]:
    """Write the bars down with their remnants."""
    return tuple(
        Bar(
            problem.stock[load.stock],
            tuple(load.pieces),
            remnant(
                problem.stock[load.stock].length, [piece.length for piece in load.pieces], problem.kerf, problem.trim
            ),
        )
        for load in loads
    )
