"""The full-scale patterns of one instrument, two tiles to a printed page, with what a reader needs to find them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from railwright.writing.confirming import TO_CONFIRM, is_unconfirmed
from railwright.writing.drawings.pattern import Pattern, pattern_of
from railwright.writing.drawings.segment_case import SegmentCase
from railwright.writing.drawings.svg import figure, markup, render
from railwright.writing.week import Instrument

TILES_ON_A_PAGE = 2


@dataclass(frozen=True, slots=True)
class SegmentPattern:
    """One segment's pattern as SVG: whole, the picture that its tiles share, and the tiles."""

    number: int
    whole: str
    shared: Markup
    tiles: tuple[Markup, ...]


def segment_patterns(cases: Sequence[SegmentCase]) -> tuple[SegmentPattern, ...]:
    """Draw the patterns of an instrument's segments, bass first."""
    return tuple(_segment_pattern(case.section.section, pattern_of(case)) for case in cases)


def _segment_pattern(number: int, pattern: Pattern) -> SegmentPattern:
    picture, mark = markup(pattern.segment), f"segment-{number}"
    tiles = tuple(
        Markup(render(tile, f"{mark}-tile-{count}", f'<use href="#{mark}" x="{figure(-start)}"/>'))
        for count, (tile, start) in enumerate(zip(pattern.tiles, pattern.tile_starts, strict=True), start=1)
    )
    whole = render(pattern.whole, f"{mark}-whole", picture)
    return SegmentPattern(number, whole, Markup(f'<g id="{mark}">{picture}</g>'), tiles)


def pattern_values(instrument: Instrument, patterns: Sequence[SegmentPattern]) -> dict[str, Any]:
    """Gather what the pattern page of an instrument shows.

    Args:
        instrument: whose patterns they are.
        patterns: at least one segment's.

    Returns:
        The values of the template; ``pages`` is what the printer makes of them.
    """
    tiles = [tile for pattern in patterns for tile in pattern.tiles]
    return {
        "order": instrument.order_no,
        "whose": _whose(instrument),
        "warning": _warning(instrument),
        "shared": [pattern.shared for pattern in patterns],
        "pages": [tiles[at : at + TILES_ON_A_PAGE] for at in range(0, len(tiles), TILES_ON_A_PAGE)],
        "found": list(_found(patterns)),
    }


def _whose(instrument: Instrument) -> str:
    """Name serial number and site, as far as they are known."""
    survey = instrument.survey
    serial = f"serial {survey.serial}" if survey and survey.serial else ""
    return ", ".join(words for words in (serial, (survey.site if survey else None) or "") if words)


def _warning(instrument: Instrument) -> str:
    return TO_CONFIRM if is_unconfirmed(instrument) else ""


def _found(patterns: Sequence[SegmentPattern]) -> Iterator[tuple[int, int, int]]:
    """Say on which pages each segment is found: its number, the first and the last page."""
    before = 0
    for pattern in patterns:
        after = before + len(pattern.tiles)
        yield pattern.number, before // TILES_ON_A_PAGE + 1, (after - 1) // TILES_ON_A_PAGE + 1
        before = after
