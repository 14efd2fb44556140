"""Helpers for the cutting tests: short ways to say pieces and stock, and plain searches that try everything."""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import cache

from railwright.shop.cutting.felt_model import Rect, Sheet
from railwright.shop.cutting.model import Piece, Stock


def pieces_of(*lengths: int, setups: Sequence[str] = ()) -> list[Piece]:
    """Make pieces, labelled by their place."""
    return [Piece(f"p{n}", length, setups[n] if setups else "") for n, length in enumerate(lengths)]


def bar(length: int, cents: int = 100, available: int | None = None) -> Stock:
    return Stock("T", length, cents, available)


def offcut(length: int, rack: str = "R1") -> Stock:
    return Stock("T", length, 0, 1, True, rack)


def least_money_by_trying(pieces: Sequence[Piece], stock: Sequence[Stock], kerf: int, trim: int) -> int | None:
    """Try every way to put pieces on bars; nothing is skipped but equal states."""
    lengths = sorted((piece.length for piece in pieces), reverse=True)

    @cache
    def least(placed: int, left: tuple[int, ...], used: tuple[int, ...]) -> float:
        if placed == len(lengths):
            return 0
        length, found = lengths[placed], float("inf")
        for room in set(left):
            if room >= length:
                rest = list(left)
                rest.remove(room)
                found = min(found, least(placed + 1, tuple(sorted([*rest, room - length - kerf])), used))
        for k, kind in enumerate(stock):
            room = kind.length - trim
            if room >= length and (kind.available is None or used[k] < kind.available):
                more = tuple(n + (k == other) for other, n in enumerate(used))
                price = 0 if kind.offcut else kind.cents
                found = min(found, price + least(placed + 1, tuple(sorted([*left, room - length - kerf])), more))
        return found

    money = least(0, (), (0,) * len(stock))
    return None if money == float("inf") else int(money)


def least_felt_by_trying(rects: Sequence[Rect], sheets: Sequence[Sheet]) -> int | None:
    """Try every way to cut pieces from strips and strips from sheets."""
    ordered = sorted(rects, key=lambda rect: (rect.width, rect.length), reverse=True)

    @cache
    def least(
        placed: int, strips: tuple[tuple[int, int], ...], free: tuple[tuple[int, int], ...], used: tuple[int, ...]
    ) -> float:
        if placed == len(ordered):
            return 0
        rect, found = ordered[placed], float("inf")
        for strip in set(strips):
            if strip[0] == rect.width and strip[1] >= rect.length:
                rest = list(strips)
                rest.remove(strip)
                cut = tuple(sorted([*rest, (strip[0], strip[1] - rect.length)]))
                found = min(found, least(placed + 1, cut, free, used))
        openings = [(sheet, 0, used, list(free)) for sheet in set(free)]
        for sheet, _, _, others in openings:
            others.remove(sheet)
        for k, kind in enumerate(sheets):
            if kind.available is None or used[k] < kind.available:
                more = tuple(n + (k == other) for other, n in enumerate(used))
                openings.append(((kind.length, kind.width), 0 if kind.offcut else kind.cents, more, list(free)))
        for (length, width), price, more, others in openings:
            if length >= rect.length and width >= rect.width:
                left = tuple(sorted([*others, (length, width - rect.width)]))
                begun = tuple(sorted([*strips, (rect.width, length - rect.length)]))
                found = min(found, price + least(placed + 1, begun, left, more))
        return found

    money = least(0, (), (), (0,) * len(sheets))
    return None if money == float("inf") else int(money)


def tiny_case(seed: int) -> tuple[list[Piece], list[Stock], int, int]:
    """Draw a tiny case: up to seven pieces, several stock lengths, offcuts, kerf and trim."""
    rng = random.Random(seed)
    lengths = [rng.randint(5, 60) for _ in range(rng.randint(1, 7))]
    stock = [
        bar(rng.randint(60, 120), rng.randint(50, 200), rng.choice([None, None, 2])) for _ in range(rng.randint(1, 3))
    ]
    stock += [offcut(rng.randint(10, 90), f"R{n}") for n in range(rng.randint(0, 3))]
    return pieces_of(*lengths), stock, rng.randint(0, 4), rng.randint(0, 3)


def tiny_felt(seed: int) -> tuple[list[Rect], list[Sheet]]:
    """Draw a tiny felt case: up to six pieces of two or three widths, two sheets, offcuts."""
    rng = random.Random(seed)
    widths = rng.sample(range(2, 7), rng.randint(1, 3))
    rects = [Rect(f"f{n}", rng.randint(2, 12), rng.choice(widths)) for n in range(rng.randint(1, 6))]
    sheets = [Sheet("F", rng.randint(12, 20), rng.randint(6, 14), rng.randint(50, 150), None)]
    if rng.random() < 0.5:
        sheets.append(Sheet("F", rng.randint(8, 20), rng.randint(4, 12), rng.randint(30, 120), None))
    sheets += [Sheet("F", rng.randint(4, 14), rng.randint(2, 9), 0, 1, True, f"R{n}") for n in range(rng.randint(0, 2))]
    return rects, sheets


def tiny_shelf(seed: int) -> tuple[list[Piece], list[Stock], int, int]:
    """Draw a tiny case with whole bars on the shelf, offcuts, and one kind of bar to buy."""
    rng = random.Random(seed)
    lengths = [rng.randint(5, 60) for _ in range(rng.randint(1, 7))]
    stock = [bar(rng.randint(60, 120), 0, rng.randint(1, 3)) for _ in range(rng.randint(1, 3))]
    stock += [offcut(rng.randint(10, 70), f"R{n}") for n in range(rng.randint(0, 2))]
    return pieces_of(*lengths), [*stock, bar(rng.randint(60, 120))], rng.randint(0, 4), rng.randint(0, 3)


def tiny_felt_shelf(seed: int) -> tuple[list[Rect], list[Sheet]]:
    """Draw a tiny felt case with sheets on the shelf and one kind of sheet to buy."""
    rects, sheets = tiny_felt(seed)
    rng = random.Random(seed)
    shelf = [Sheet("F", rng.randint(8, 20), rng.randint(4, 14), 0, rng.randint(1, 2)) for _ in range(2)]
    return rects, [sheets[0], *shelf, *(sheet for sheet in sheets if sheet.offcut)]
