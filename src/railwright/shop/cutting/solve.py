"""From pieces and stock to a plan with its proof: the order of the steps, readable from top to bottom."""

from __future__ import annotations

from collections.abc import Sequence

from railwright.shop.cutting.bound import Need, counts_below, need_of, quick_weights
from railwright.shop.cutting.heuristic import fill_counts
from railwright.shop.cutting.instance import Instance, Pattern, fits_some, make_instance, pattern_cost, residual
from railwright.shop.cutting.model import Bar, Certificate, Cover, Piece, Plan, Stock, remnant
from railwright.shop.cutting.money import least_money

NODE_LIMIT = 2_000


def plan_bars(
    item: str,
    pieces: Sequence[Piece],
    stock: Sequence[Stock],
    kerf: int,
    trim: int = 0,
    node_limit: int = NODE_LIMIT,
) -> Plan:
    """Plan how to saw pieces from bars at the least money.

    The objectives, each among the best of the one before: least money for bought bars; most length cut from
    offcuts; fewest saw set-ups; longest single remnant. Only the money is proven.

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
    instance = make_instance([piece.length for piece in placeable], usable, kerf, trim)
    unfit = [piece for piece in pieces if not fits_some(piece, usable, kerf, trim)]
    patterns, left = construct(instance)
    if any(left):
        bars, unplaced = _give_out(placeable, patterns, left, instance, usable, kerf, trim)
        return _short_plan(item, bars, (*unfit, *unplaced), kerf, trim)
    answer = least_money(instance, patterns, node_limit)
    bars, _ = _give_out(placeable, answer.patterns, left, instance, usable, kerf, trim)
    covers = tuple(_cover(instance, need, kerf) for need in answer.needs if answer.bound)
    cents = pattern_cost(answer.patterns, instance)
    return Plan(
        item,
        kerf,
        trim,
        bars,
        tuple(unfit),
        cents,
        answer.bound,
        cents == answer.bound,
        Certificate(covers, answer.search_nodes),
    )


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


def _give_out(
    pieces: Sequence[Piece],
    patterns: Sequence[Pattern],
    left: Sequence[int],
    instance: Instance,
    stock: Sequence[Stock],
    kerf: int,
    trim: int,
) -> tuple[tuple[Bar, ...], tuple[Piece, ...]]:
    """Put the single pieces into the patterns, those of one setting together."""
    waiting: dict[int, list[Piece]] = {}
    for piece in sorted(pieces, key=lambda piece: (piece.setup, piece.label), reverse=True):
        waiting.setdefault(piece.length + kerf, []).append(piece)
    bars = []
    for stock_index, kinds in patterns:
        held = [waiting[instance.widths[kind]].pop() for kind, count in kinds for _ in range(count)]
        held.sort(key=lambda piece: (piece.setup, -piece.length, piece.label))
        rest = remnant(stock[stock_index].length, [piece.length for piece in held], kerf, trim)
        bars.append(Bar(stock[stock_index], tuple(held), rest))
    unplaced = [piece for width in instance.widths for piece in waiting.get(width, [])]
    assert len(unplaced) == sum(left)
    return tuple(bars), tuple(unplaced)
