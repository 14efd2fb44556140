"""Among plans of equal money the better one: offcuts first, then few saw set-ups, then one long remnant.

None of this changes which bars are bought or adds one from the shelf; nothing here is proven least.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from railwright.shop.cutting.instance import Instance, Pattern
from railwright.shop.cutting.model import Piece

#: Comparisons of single pieces that one plan is worth.
_COMPARISONS = 300_000
#: Empty offcuts of one kind that are looked at.
EMPTY = 50

#: Bars that are tried as the first to be sawn, fewer of them where there are many pieces.
_STARTS, _STARTED_PIECES = 12, 2_400

Counts = Counter[int]


@dataclass(slots=True)
class Load:
    """One bar while pieces move: its stock, the room it has, and its pieces."""

    stock: int
    room: int
    pieces: list[Piece]


def use_offcuts(instance: Instance, patterns: Sequence[Pattern], offcuts: Sequence[bool]) -> list[Pattern]:
    """Move pieces from whole bars to offcuts, used or not, so that more of the offcuts is used.

    Args:
        instance: pieces and stock.
        patterns: a plan.
        offcuts: for each stock, whether it is an offcut.

    Returns:
        The plan with the same whole bars or fewer.
    """
    bars = [(stock, Counter(dict(kinds))) for stock, kinds in patterns]
    used = Counter(stock for stock, _ in patterns)
    for stock, offcut in enumerate(offcuts):
        if offcut:
            bars += [(stock, Counter()) for _ in range(min(EMPTY, instance.limit[stock] - used[stock]))]
    shelf = sorted((bar for bar in bars if offcuts[bar[0]]), key=lambda bar: (instance.rooms[bar[0]], bar[0]))
    whole = [bar for bar in bars if not offcuts[bar[0]]]
    for stock, kinds in shelf:
        for _, others in whole:
            repartition(instance.widths, kinds, instance.rooms[stock], others)
    return [(stock, tuple(sorted((+kinds).items()))) for stock, kinds in bars if +kinds]


def repartition(widths: Sequence[int], first: Counts, room: int, second: Counts) -> None:
    """Divide the pieces of two bars anew so that the first is as full as can be; the second gets no fuller.

    Args:
        widths: width of each type.
        first: pieces on the first bar; changed in place.
        room: room of the first bar.
        second: pieces on the second bar; changed in place.
    """
    before = sum(widths[kind] * count for kind, count in first.items())
    if before == room:
        return
    items = sorted((first + second).elements())
    chosen = fullest(widths, items, room)
    if sum(widths[kind] * count for kind, count in chosen.items()) > before:
        rest = first + second
        rest.subtract(chosen)
        first.clear()
        first.update(chosen)
        second.clear()
        second.update(+rest)


def fullest(widths: Sequence[int], items: Sequence[int], room: int) -> Counts:
    """Choose pieces that fill a room as far as can be; the sums to be had are the bits of a long integer."""
    mask = (1 << (room + 1)) - 1
    stages = [1]
    for kind in items:
        stages.append(stages[-1] | (stages[-1] << widths[kind]) & mask)
    target, chosen = stages[-1].bit_length() - 1, Counter[int]()
    for kind, before in zip(reversed(items), reversed(stages[:-1]), strict=True):
        if not before >> target & 1:
            target -= widths[kind]
            chosen[kind] += 1
    return chosen


def gather_rest(instance: Instance, patterns: Sequence[Pattern], offcuts: Sequence[bool]) -> list[Pattern]:
    """Empty the whole bar with most room left into the other whole bars, so that the rests come together."""
    bars = [(stock, Counter(dict(kinds))) for stock, kinds in patterns]
    whole = [bar for bar in bars if not offcuts[bar[0]]]
    if not whole:
        return list(patterns)

    def rest(bar: tuple[int, Counts]) -> int:
        return instance.rooms[bar[0]] - sum(instance.widths[kind] * count for kind, count in bar[1].items())

    roomiest = max(whole, key=rest)
    for bar in whole:
        if bar is not roomiest:
            repartition(instance.widths, bar[1], instance.rooms[bar[0]], roomiest[1])
    return [(stock, tuple(sorted((+kinds).items()))) for stock, kinds in bars if +kinds]


def hand_out(instance: Instance, patterns: Sequence[Pattern], pieces: Sequence[Piece], kerf: int) -> list[Load]:
    """Give the single pieces to the patterns, those of settings that a bar has already first.

    Args:
        instance: pieces and stock.
        patterns: a plan.
        pieces: the pieces that the plan places.
        kerf: width of one cut.

    Returns:
        The bars with their pieces.
    """
    waiting: dict[int, dict[str, list[Piece]]] = {}
    for piece in sorted(pieces, key=lambda piece: (piece.setup, piece.label), reverse=True):
        waiting.setdefault(piece.length + kerf, {}).setdefault(piece.setup, []).append(piece)
    loads = []
    for stock, kinds in patterns:
        load = Load(stock, instance.rooms[stock], [])
        # types of which there are few settings leave no choice: they come first
        widths = [instance.widths[kind] for kind, count in kinds for _ in range(count)]
        for width in sorted(widths, key=lambda width: (len(waiting[width]), width)):
            load.pieces.append(_take(waiting[width], {piece.setup for piece in load.pieces}))
        loads.append(load)
    return loads


def _take(offered: dict[str, list[Piece]], settings: set[str]) -> Piece:
    """Take a piece of a setting that is there already, else of the setting with most pieces."""
    setting = min(offered, key=lambda name: (name not in settings, -len(offered[name]), name))
    piece = offered[setting].pop()
    if not offered[setting]:
        del offered[setting]
    return piece


def exchange(loads: Sequence[Load], kerf: int, offcuts: Sequence[bool]) -> None:
    """Exchange pieces between bars while that saves settings and both still fit; no offcut gets emptier.

    Args:
        loads: the bars; changed in place.
        kerf: width of one cut.
        offcuts: for each stock, whether it is an offcut.
    """
    left = [load.room - sum(piece.length + kerf for piece in load.pieces) for load in loads]
    is_offcut = [offcuts[load.stock] for load in loads]
    settings = [Counter(piece.setup for piece in load.pieces) for load in loads]
    budget = _COMPARISONS
    for a, load in enumerate(loads):
        for place, piece in enumerate(load.pieces):
            if settings[a][piece.setup] > 1:
                continue
            partner, budget = _partner((loads, settings, left, is_offcut), a, piece, budget)
            if partner is not None:
                _swap(loads, settings, left, (a, place), partner)
            if budget <= 0:
                return


_Place = tuple[int, int]


def _partner(
    state: tuple[Sequence[Load], Sequence[Counter[str]], Sequence[int], Sequence[bool]],
    a: int,
    piece: Piece,
    budget: int,
) -> tuple[_Place | None, int]:
    """Find a piece whose exchange for the only one of its setting saves a setting; give what is left of the budget."""
    loads, settings, left, is_offcut = state
    setup = piece.setup
    for b, there in enumerate(settings):
        if b == a or not there.get(setup):
            budget -= 1
        else:
            for place, candidate in enumerate(loads[b].pieces):
                change = candidate.length - piece.length
                alone = there[candidate.setup] == 1
                known = settings[a][candidate.setup] > 0
                if change * (is_offcut[a] - is_offcut[b]) < 0:  # an offcut would lose length to a whole bar
                    continue
                if candidate.setup != setup and (alone or known) and -left[b] <= change <= left[a]:
                    return (b, place), budget - 1
            budget -= len(loads[b].pieces)
        if budget <= 0:
            break
    return None, budget


def _swap(loads: Sequence[Load], settings: Sequence[Counter[str]], left: list[int], one: _Place, two: _Place) -> None:
    """Exchange two pieces and keep the accounts."""
    (a, i), (b, j) = one, two
    first, second = loads[a].pieces[i], loads[b].pieces[j]
    loads[a].pieces[i], loads[b].pieces[j] = second, first
    left[a] += first.length - second.length
    left[b] += second.length - first.length
    settings[a].subtract([first.setup])
    settings[b].subtract([second.setup])
    settings[a][second.setup] += 1
    settings[b][first.setup] += 1


def best_order(loads: Sequence[Load], offcuts: Sequence[bool]) -> list[Load]:
    """Order bars for the fewest set-ups of some tries: each bar once the first; of equal orders, offcuts first.

    Args:
        loads: the bars.
        offcuts: for each stock, whether it is an offcut.

    Returns:
        The bars in order, as ``sawing_order`` gives them.
    """
    anyhow = [False] * len(offcuts)
    looks = [_signature(load) for load in loads]
    orders = [sawing_order(loads, offcuts, 0, looks), sawing_order(loads, anyhow, 0, looks)]
    pieces = sum(len(load.pieces) for load in loads)
    for first in range(min(len(loads), _STARTS, _STARTED_PIECES // max(1, pieces))):
        orders += [sawing_order(loads, rule, first, looks) for rule in (offcuts, anyhow)]
    return min(orders, key=count_setups)


def sawing_order(
    loads: Sequence[Load], scrap_first: Sequence[bool], first: int = 0, looks: Sequence[_Look] | None = None
) -> list[Load]:
    """Order bars, and pieces on bars, so that the saw stays as it is set from one bar to the next.

    Args:
        loads: the bars.
        scrap_first: for each stock, whether it is an offcut; offcuts are sawn first.
        first: which of the bars that may be sawn first is, by stock and content.
        looks: the signature of each bar, where it is known.

    Returns:
        The bars in order; in each the pieces of one setting together, the long ones first.
    """
    looks = looks or [_signature(load) for load in loads]
    by_look = sorted(range(len(loads)), key=lambda n: (loads[n].stock, looks[n]))
    done: list[Load] = []
    setting = ""
    for offcuts in (True, False):
        waiting = [n for n in by_look if scrap_first[loads[n].stock] == offcuts]
        needed = Counter(name for n in waiting for name in looks[n][0])
        while waiting:
            start = waiting[min(first, len(waiting) - 1) if not done else 0]
            number = next((n for n in waiting if setting in looks[n][0]), start)
            waiting.remove(number)
            needed.subtract(looks[number][0])
            load = loads[number]
            pieces = _in_order(load.pieces, setting, {name for name in looks[number][0] if needed[name]})
            setting = pieces[-1].setup
            done.append(Load(load.stock, load.room, pieces))
    return done


#: The settings of a bar's pieces, their lengths and labels.
_Look = tuple[tuple[str, ...], tuple[int, ...], tuple[str, ...]]


def _signature(load: Load) -> _Look:
    """Sort bars of the same settings and lengths side by side."""
    pieces = sorted(load.pieces, key=lambda piece: (piece.setup, -piece.length, piece.label))
    settings = tuple(sorted({piece.setup for piece in pieces}))
    return settings, tuple(-piece.length for piece in pieces), tuple(piece.label for piece in pieces)


def _in_order(pieces: Sequence[Piece], now: str, later: set[str]) -> list[Piece]:
    """Put the present setting first and one that is needed later last."""
    settings = sorted({piece.setup for piece in pieces}, key=lambda name: (name != now, name in later, name))
    place = {name: number for number, name in enumerate(settings)}
    return sorted(pieces, key=lambda piece: (place[piece.setup], -piece.length, piece.label))


def count_setups(loads: Sequence[Load]) -> int:
    """Count how often the saw is set, the first setting included."""
    settings = [piece.setup for load in loads for piece in load.pieces]
    return sum(n == 0 or settings[n] != settings[n - 1] for n in range(len(settings)))
