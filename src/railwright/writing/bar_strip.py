"""A bar drawn as a strip, and a felt sheet with its strips, for the cutting page: pieces to scale."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from html import escape

from markupsafe import Markup

from railwright.writing.confirming import TO_CONFIRM
from railwright.writing.cutting_lines import BarGroup
from railwright.writing.drawings.svg import figure
from railwright.writing.felt_lines import FeltGroup
from railwright.writing.numbers import fixed

_WIDE, _HIGH = 1000.0, 54.0
#: A label needs this much of the strip's width for each letter, a running mark below it this much.
_LETTER, _MARK_LETTER = 9.5, 7.8
#: Running marks stand in two rows below the strip, where they do not meet.
_ROWS = (_HIGH + 18.0, _HIGH + 34.0)
_MARKED = _HIGH + 40.0
#: A slanting end takes at most this share of its piece.
_SLANT = 0.2
_TICK = 'stroke="#44525a" stroke-width="0.8"'
#: What is left of a sheet is named where it is drawn so high.
_ROOM_FOR_WORDS = 30.0


def bar_strip(group: BarGroup) -> Markup:
    """Draw the bars of a group as one strip: pieces with slanting ends, their labels, and running marks below.

    Lengths are to scale, the bar's width is not; ends slant as the saw is set, seen with the keyboard edge below.

    Args:
        group: bars sawn alike.

    Returns:
        SVG for the inside of a page; words in it are escaped.
    """
    scale = _WIDE / (group.stock.length / 10)
    parts = "".join(_parts(group, scale))
    lengths = ", ".join(fixed(cut.length_mm) for cut in group.cuts)
    words = f"Bar {group.numbers}: pieces of {lengths} mm, left over {fixed(group.remnant_mm)} mm"
    return Markup(
        f'<svg viewBox="-1 -1 {figure(_WIDE + 2)} {figure(_MARKED + 1)}" class="strip" role="img" '
        f'aria-label="{escape(words)}" font-family="Helvetica, Arial, sans-serif" font-size="17">{parts}</svg>'
    )


def _parts(group: BarGroup, scale: float) -> Iterator[str]:
    yield f'<rect x="0" y="0" width="{figure(_WIDE)}" height="{figure(_HIGH)}" fill="#ffffff" stroke="#44525a"/>'
    for cut in group.cuts:
        x, wide = cut.from_mm * scale, cut.length_mm * scale
        lean = _lean(cut.setting, wide)
        yield f'<polygon points="{_outline(cut.setting, x, wide)}" fill="#dcebf1" stroke="#1f2a30"/>'
        x, wide = x + lean / 2, wide - lean
        more = "" if len(cut.labels) == 1 else " …"
        label = f"{cut.labels[0]}{more}"
        if not _fits(label, wide):  # the table below keeps the mark of what is to confirm
            label = f"{cut.labels[0].removesuffix(TO_CONFIRM).rstrip()}{more}"
        yield from _centred(label, x, wide, 22.0)
        yield from _centred(fixed(cut.length_mm), x, wide, 44.0)
    left = _WIDE - group.remnant_mm * scale
    yield from _centred("left over", left, _WIDE - left, 22.0)
    yield from _centred(fixed(group.remnant_mm), left, _WIDE - left, 44.0)
    yield from _marks([cut.to_mm for cut in group.cuts], scale)


def _outline(setting: str, x: float, wide: float) -> str:
    """Give a piece's corners from the low near one round: near edge below, ends leaning as the saw is set."""
    lean = _lean(setting, wide)
    near, far = (0.0, lean) if setting.startswith("left") else (lean, 0.0)
    corners = ((x + near, _HIGH), (x + far, 0.0), (x + wide - near, 0.0), (x + wide - far, _HIGH))
    return " ".join(f"{figure(across)},{figure(down)}" for across, down in corners)


def _lean(setting: str, wide: float) -> float:
    """Give how far the far edge of an end lies from the near one, along the strip; 0 for a square end."""
    _, _, degrees = setting.partition(" ")
    return min(_HIGH * math.tan(math.radians(float(degrees))), _SLANT * wide) if degrees else 0.0


def _marks(ends_mm: Sequence[float], scale: float) -> Iterator[str]:
    """Write below the strip where each piece ends, counted from the bar's first end; what finds no room is left out."""
    taken = [0.0] * len(_ROWS)
    for end_mm in ends_mm:
        words, x = fixed(end_mm), end_mm * scale
        room = len(words) * _MARK_LETTER
        right = min(x + room / 2, _WIDE)
        for row, y in enumerate(_ROWS):
            if right - room >= taken[row]:
                taken[row] = right + _MARK_LETTER
                at = f'x="{figure(right)}" y="{figure(y)}"'
                yield f'<line x1="{figure(x)}" y1="{figure(_HIGH)}" x2="{figure(x)}" y2="{figure(y - 12)}" {_TICK}/>'
                yield f'<text {at} text-anchor="end" font-size="14" fill="#1f2a30">{words}</text>'
                break


def _fits(words: str, wide: float) -> bool:
    return len(words) * _LETTER <= wide - 4.0


def felt_sheet(group: FeltGroup) -> Markup:
    """Draw the sheets of a group as one sheet with its strips.

    Args:
        group: sheets cut alike.

    Returns:
        SVG for the inside of a page; words in it are escaped.
    """
    scale = _WIDE / (group.sheet.length / 10)
    high = group.sheet.width / 10 * scale
    parts = "".join(_felt_parts(group, scale, high))
    words = f"Sheet {group.numbers}: {len(group.strips)} strips, left of the width {fixed(group.remnant_mm)} mm"
    return Markup(
        f'<svg viewBox="-1 -1 {figure(_WIDE + 2)} {figure(high + 2)}" class="strip" role="img" '
        f'aria-label="{escape(words)}" font-family="Helvetica, Arial, sans-serif" font-size="17">{parts}</svg>'
    )


def _felt_parts(group: FeltGroup, scale: float, high: float) -> Iterator[str]:
    yield f'<rect x="0" y="0" width="{figure(_WIDE)}" height="{figure(high)}" fill="#ffffff" stroke="#44525a"/>'
    for strip in group.strips:
        top, tall = strip.from_mm * scale, strip.width_mm * scale
        for cut in strip.cuts:
            x, wide = cut.from_mm * scale, cut.length_mm * scale
            yield (
                f'<rect x="{figure(x)}" y="{figure(top)}" width="{figure(wide)}" height="{figure(tall)}" '
                'fill="#f3e6c4" stroke="#6b4f1d"/>'
            )
    left = group.remnant_mm * scale
    if left > _ROOM_FOR_WORDS:
        yield from _centred(f"left over: {fixed(group.remnant_mm)} of the width", 0.0, _WIDE, high - left / 2.0)


def _centred(words: str, x: float, wide: float, y: float) -> Iterator[str]:
    """Write words in the middle of a part, where they fit; the table below the strip has them all."""
    if _fits(words, wide):
        at = f'x="{figure(x + wide / 2)}" y="{figure(y)}"'
        yield f'<text {at} text-anchor="middle" fill="#1f2a30">{escape(words)}</text>'
