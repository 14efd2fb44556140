"""A bar drawn as a strip, and a felt sheet with its strips, for the cutting page: pieces to scale."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from markupsafe import Markup

from railwright.writing.cutting_lines import BarGroup
from railwright.writing.drawings.svg import figure
from railwright.writing.felt_lines import FeltGroup
from railwright.writing.numbers import fixed

_WIDE, _HIGH = 1000.0, 54.0
#: A label needs this much of the strip's width for each letter.
_LETTER = 9.5
#: What is left of a sheet is named where it is drawn so high.
_ROOM_FOR_WORDS = 30.0


def bar_strip(group: BarGroup) -> Markup:
    """Draw the bars of a group as one strip.

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
        f'<svg viewBox="-1 -1 {figure(_WIDE + 2)} {figure(_HIGH + 2)}" class="strip" role="img" '
        f'aria-label="{escape(words)}" font-family="Helvetica, Arial, sans-serif" font-size="17">{parts}</svg>'
    )


def _parts(group: BarGroup, scale: float) -> Iterator[str]:
    yield f'<rect x="0" y="0" width="{figure(_WIDE)}" height="{figure(_HIGH)}" fill="#ffffff" stroke="#44525a"/>'
    for cut in group.cuts:
        x, wide = cut.from_mm * scale, cut.length_mm * scale
        yield (
            f'<rect x="{figure(x)}" y="0" width="{figure(wide)}" height="{figure(_HIGH)}" fill="#dcebf1" '
            'stroke="#1f2a30"/>'
        )
        label = cut.labels[0] if len(cut.labels) == 1 else f"{cut.labels[0]} …"
        yield from _centred(label, x, wide, 22.0)
        yield from _centred(fixed(cut.length_mm), x, wide, 44.0)
    left = _WIDE - group.remnant_mm * scale
    yield from _centred("left over", left, _WIDE - left, 22.0)
    yield from _centred(fixed(group.remnant_mm), left, _WIDE - left, 44.0)


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
    if len(words) * _LETTER <= wide - 4.0:
        at = f'x="{figure(x + wide / 2)}" y="{figure(y)}"'
        yield f'<text {at} text-anchor="middle" fill="#1f2a30">{escape(words)}</text>'
