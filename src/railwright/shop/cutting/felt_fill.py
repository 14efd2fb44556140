"""One felt sheet filled as far as can be, for offcuts: each has its own length."""

from __future__ import annotations

from collections.abc import Sequence

from railwright.shop.cutting.felt_model import Rect, Sheet, SheetCut, Strip


def fill_sheet(rects: Sequence[Rect], sheet: Sheet) -> SheetCut | None:
    """Cut the strips that together use the most area of one sheet.

    Args:
        rects: the pieces there are.
        sheet: the sheet.

    Returns:
        The sheet with its strips, ``None`` if no piece fits.
    """
    offers = [best_strips(rects, width, sheet) for width in sorted({rect.width for rect in rects}, reverse=True)]
    strips = choose_strips([strips for strips in offers if strips], sheet.width)
    if not strips:
        return None
    return SheetCut(sheet, tuple(strips), sheet.width - sum(strip.width for strip in strips))


def best_strips(rects: Sequence[Rect], width: int, sheet: Sheet) -> list[Strip]:
    """Fill strips of one width one after the other, each as full as the pieces left allow."""
    left = sorted((rect for rect in rects if rect.width == width), key=lambda rect: (-rect.length, rect.label))
    strips = []
    for _ in range(sheet.width // width):
        chosen = fullest_strip(left, sheet.length)
        if not chosen:
            break
        for rect in chosen:
            left.remove(rect)
        strips.append(Strip(width, tuple(chosen), sheet.length - sum(rect.length for rect in chosen)))
    return strips


def fullest_strip(rects: Sequence[Rect], length: int) -> list[Rect]:
    """Choose pieces whose lengths fill a strip as far as can be; sums to be had are bits of a long integer."""
    mask, sums, steps = (1 << (length + 1)) - 1, 1, []
    for rect in rects:
        steps.append((rect, sums))
        sums |= (sums << rect.length) & mask
        if sums >> length:
            break
    target, chosen = sums.bit_length() - 1, []
    for rect, before in reversed(steps):
        if not before >> target & 1:
            target -= rect.length
            chosen.append(rect)
    return chosen[::-1]


def choose_strips(offers: Sequence[Sequence[Strip]], room: int) -> list[Strip]:
    """Choose how many strips of each width to cut, the first ones offered, for the most area.

    Args:
        offers: strips of one width each, the fullest first.
        room: width of the sheet.

    Returns:
        The strips, the widest first.
    """
    # the best area, and the numbers that give it, for every width that is used up exactly
    best: dict[int, tuple[int, tuple[int, ...]]] = {0: (0, ())}
    for strips in offers:
        grown: dict[int, tuple[int, tuple[int, ...]]] = {}
        for used, (area, numbers) in best.items():
            for count in range(len(strips) + 1):
                width = used + count * strips[0].width
                if width > room:
                    break
                total = area + sum(_area(strip) for strip in strips[:count])
                if width not in grown or total > grown[width][0]:
                    grown[width] = (total, (*numbers, count))
        best = grown
    _, numbers = max(best.values(), key=lambda entry: entry[0])
    return [strip for strips, count in zip(offers, numbers, strict=True) for strip in strips[:count]]


def _area(strip: Strip) -> int:
    """Return the area of the pieces of a strip."""
    return strip.width * sum(rect.length for rect in strip.rects)
