"""From pieces and stock to a plan with its proof: the order of the steps, readable from top to bottom."""

from __future__ import annotations

from collections.abc import Sequence

from railwright.shop.cutting.bound import Need, cheapest, counts_below, need_of, quick_weights
from railwright.shop.cutting.heuristic import best_fit, fill_bars
from railwright.shop.cutting.instance import Instance, Pattern, fits_some, make_instance, pattern_cost
from railwright.shop.cutting.model import Bar, Certificate, Cover, Piece, Plan, Stock, remnant

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
    needs = [need_of(instance, weights) for weights in quick_weights(instance)]
    patterns, left = construct(instance, needs)
    bars, unplaced = _give_out(placeable, patterns, left, instance, usable, kerf, trim)
    unfit = [piece for piece in pieces if not fits_some(piece, usable, kerf, trim)]
    if unplaced:
        return plan_bars_short(item, bars, (*unfit, *unplaced), kerf, trim)
    bound = cheapest(instance, needs)
    covers = tuple(_cover(instance, need, kerf) for need in needs)
    cents = pattern_cost(patterns, instance)
    return Plan(
        item, kerf, trim, bars, tuple(unfit), cents, bound, cents == bound, Certificate(covers if bound else ())
    )


def plan_bars_short(item: str, bars: tuple[Bar, ...], unplaced: tuple[Piece, ...], kerf: int, trim: int) -> Plan:
    """Report a plan whose stock does not suffice; nothing is claimed about its money."""
    cents = sum(bar.stock.price for bar in bars)
    return Plan(item, kerf, trim, bars, unplaced, cents, 0, cents == 0, Certificate())


def construct(instance: Instance, needs: Sequence[Need]) -> tuple[list[Pattern], list[int]]:
    """Fill the cheapest counts that the bound allows; what finds no room goes on to a further round.

    Args:
        instance: the pieces and the stock.
        needs: the weightings that bound the money.

    Returns:
        The patterns and the pieces of each type for which there is no stock.
    """
    found = counts_below(instance, needs, None, 1)
    counts = found[0][1] if found else instance.limit
    patterns = best_fit(instance, counts)
    if patterns is not None:
        return patterns, [0] * len(instance.widths)
    bars = [k for k, count in enumerate(counts) for _ in range(count)]
    bars.sort(key=lambda k: (instance.prices[k], instance.rooms[k]))
    patterns, left = fill_bars(instance, bars, range(len(instance.widths)))
    if not any(left) or not patterns:
        return patterns, left
    rest = _residual(instance, patterns, left)
    more, rest_left = construct(rest, [need_of(rest, weights) for weights in quick_weights(rest)])
    return patterns + more, rest_left


def _residual(instance: Instance, patterns: Sequence[Pattern], left: Sequence[int]) -> Instance:
    """Return the instance of the pieces left and the bars not yet used."""
    used = [0] * len(instance.rooms)
    for stock, _ in patterns:
        used[stock] += 1
    limit = tuple(most - count for most, count in zip(instance.limit, used, strict=True))
    return Instance(instance.widths, tuple(left), instance.rooms, instance.prices, limit)


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
