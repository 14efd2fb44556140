"""Small plans made better piece by piece: pieces moved and exchanged between bars while that helps.

What helps: more length from offcuts, then fewer set-ups, then a longer single rest. Where nothing helps any more a few
exchanges at random lead on; the draws are always the same, and the steps are counted, never timed.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

from railwright.shop.cutting.polish import Load, count_setups, sawing_order

#: Plans looked at, times their pieces.
_WORK = 50_000
#: Where all pieces have one setting only the rest can still get longer, and a share of the steps does.
_ONE_SETTING = 10
#: Larger plans are left as they are: so few steps would do nothing for them.
_MOST_PIECES = 120
_KICKS = 3
#: Descents without success after which the search ends.
_PATIENCE = 8

#: From offcuts, set-ups and longest rest, the better the smaller; then how unlike the rests are.
Merit = tuple[int, int, int, int]


def merit(loads: Sequence[Load], untouched: Sequence[int], kerf: int, offcuts: Sequence[bool]) -> Merit:
    """Rank a plan among those with the same bars.

    An offcut that stays whole is a rest too: one that fits is used up before a long one is cut into.

    Args:
        loads: the bars in sawing order.
        untouched: the room of each offcut that holds no piece.
        kerf: width of one cut.
        offcuts: for each stock, whether it is an offcut.

    Returns:
        A tuple to compare; the smallest is best.
    """
    cut = sum(piece.length for load in loads if offcuts[load.stock] for piece in load.pieces)
    rests = [load.room - sum(piece.length + kerf for piece in load.pieces) for load in loads]
    rests += untouched
    return -cut, count_setups(loads), -max(rests, default=0), -sum(rest * rest for rest in rests)


def refined(loads: Sequence[Load], spare: Sequence[Load], kerf: int, offcuts: Sequence[bool]) -> list[Load]:
    """Improve a small plan.

    Args:
        loads: the bars with their pieces.
        spare: offcuts that are not used.
        kerf: width of one cut.
        offcuts: for each stock, whether it is an offcut.

    Returns:
        The bars in sawing order, none of them new but from the spare ones.
    """
    pieces = [piece for load in loads for piece in load.pieces]
    work = _WORK // (1 if len({piece.setup for piece in pieces}) > 1 else _ONE_SETTING)
    search = _Search(kerf, offcuts, work // max(1, len(pieces)))
    bars = [Load(load.stock, load.room, list(load.pieces)) for load in (*loads, *spare)]
    best, kept = search.rank(bars), _copy(bars)
    if len(pieces) > _MOST_PIECES:
        return search.ordered(kept)
    rng, failed = random.Random(1), 0
    while search.steps > 0 and failed < _PATIENCE:
        found = search.descend(bars)
        failed += 1
        if found < best:
            best, kept, failed = found, _copy(bars), 0
        else:
            bars = _copy(kept)
        search.steps -= 1
        for _ in range(_KICKS):
            moves = list(search.moves(bars))
            if not moves:
                return search.ordered(kept)
            _make(bars, rng.choice(moves))
    return search.ordered(kept)


def _copy(bars: Sequence[Load]) -> list[Load]:
    return [Load(bar.stock, bar.room, list(bar.pieces)) for bar in bars]


#: Bar and place of a piece, and the bar and place that it goes to; place -1 for a move without return.
_Move = tuple[int, int, int, int]


def _make(bars: Sequence[Load], move: _Move) -> None:
    """Move a piece to the end of another bar, or exchange two."""
    a, i, b, j = move
    if j < 0:
        bars[b].pieces.append(bars[a].pieces.pop(i))
    else:
        bars[a].pieces[i], bars[b].pieces[j] = bars[b].pieces[j], bars[a].pieces[i]


def _undo(bars: Sequence[Load], move: _Move) -> None:
    a, i, b, j = move
    if j < 0:
        bars[a].pieces.insert(i, bars[b].pieces.pop())
    else:
        _make(bars, move)


class _Search:
    """What stays the same while pieces move, and the steps that are left."""

    def __init__(self, kerf: int, offcuts: Sequence[bool], steps: int) -> None:
        self.kerf, self.offcuts, self.steps = kerf, offcuts, steps

    def ordered(self, bars: Sequence[Load]) -> list[Load]:
        """Put the bars that hold pieces in sawing order."""
        return sawing_order([bar for bar in bars if bar.pieces], self.offcuts)

    def rank(self, bars: Sequence[Load]) -> Merit:
        """Rank a plan; that is one step."""
        self.steps -= 1
        untouched = [bar.room for bar in bars if not bar.pieces and self.offcuts[bar.stock]]
        return merit(self.ordered(bars), untouched, self.kerf, self.offcuts)

    def descend(self, bars: Sequence[Load]) -> Merit:
        """Make moves that help until none does or the steps are used up."""
        now = self.rank(bars)
        again = True
        while again and self.steps > 0:
            again = False
            for move in list(self.moves(bars)):
                if self.steps <= 0:
                    break
                if not self._still_fits(bars, move):
                    continue
                _make(bars, move)
                after = self.rank(bars)
                if after < now:
                    now, again = after, True
                else:
                    _undo(bars, move)
        return now

    def left(self, bar: Load) -> int:
        """Return the room left on a bar."""
        return bar.room - sum(piece.length + self.kerf for piece in bar.pieces)

    def moves(self, bars: Sequence[Load]) -> Iterator[_Move]:
        """Yield moves and exchanges that fit."""
        left = [self.left(bar) for bar in bars]
        for a, bar in enumerate(bars):
            for i, piece in enumerate(bar.pieces):
                for b, other in enumerate(bars):
                    if a != b and piece.length + self.kerf <= left[b] and (other.pieces or self.offcuts[other.stock]):
                        yield a, i, b, -1
                    if b <= a:
                        continue
                    for j, partner in enumerate(other.pieces):
                        change = partner.length - piece.length
                        if -left[b] <= change <= left[a] and (change or partner.setup != piece.setup):
                            yield a, i, b, j

    def _still_fits(self, bars: Sequence[Load], move: _Move) -> bool:
        """Say whether a move that was listed before others were made is still one."""
        a, i, b, j = move
        if i >= len(bars[a].pieces) or j >= len(bars[b].pieces):
            return False
        piece = bars[a].pieces[i]
        if j < 0:
            return piece.length + self.kerf <= self.left(bars[b])
        change = bars[b].pieces[j].length - piece.length
        return -self.left(bars[b]) <= change <= self.left(bars[a])
