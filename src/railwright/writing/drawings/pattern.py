"""Full-scale patterns of segments: one long drawing, and the same in tiles that ordinary printers can print.

A pattern is laid on the guide rail or glued to the stock. Tiles overlap; each carries joining marks and a rule of
exactly 100 mm that shows whether the printer kept the scale.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from railwright.writing.drawings import layers
from railwright.writing.drawings.fitting import fitted
from railwright.writing.drawings.plan_view import plan_view, rows_of
from railwright.writing.drawings.primitives import Line, Placed, Primitive, Sheet, Text, View
from railwright.writing.drawings.segment_case import SegmentCase, outline, warning_words

#: A tile fits A4 and Letter laid across, with 12 mm of margin and more, two tiles on a page.
TILE_WIDTH, TILE_HEIGHT, OVERLAP = 255.0, 82.0, 10.0
#: What one tile adds to the pattern.
STEP = TILE_WIDTH - 2.0 * OVERLAP
_RULE = 100.0
#: Below this height a tile holds its title and its rule.
_CLEAR = 14.0
#: Heights of the crosses on a joining line.
_CROSSES = (16.0, TILE_HEIGHT - 12.0)
#: Paper left and right of the segment for the words there.
_LEFT, _RIGHT = 28.0, 20.0


def pattern_extent(case: SegmentCase) -> tuple[float, float]:
    """Give the first and the last x that a pattern shows, mm along the rail."""
    xs = [x for x, _ in outline(case, case.carrier.width_mm)]
    return min(xs) - _LEFT, max(xs) + _RIGHT


@dataclass(frozen=True, slots=True)
class Pattern:
    """A segment at full scale.

    ``segment`` shows it on one long sheet; ``whole`` is the same sheet's title and rule; each of ``tiles`` has its own
    title, rule and joining marks, and shows the segment from ``tile_starts`` on, in mm of the long sheet.
    """

    segment: Sheet
    whole: Sheet
    tiles: tuple[Sheet, ...]
    tile_starts: tuple[float, ...]


def pattern_of(case: SegmentCase) -> Pattern:
    """Draw a segment at full scale, whole and in tiles that are joined at their marks.

    Args:
        case: the segment.

    Returns:
        The pattern; one mm on paper is one mm.
    """
    first, last = pattern_extent(case)
    long = last - first
    # the first and the last tile have no neighbour on one side, so the strip for it holds some of the pattern too
    count = max(1, math.ceil(round((long - 2.0 * OVERLAP) / STEP, 6)))
    plan = Placed(plan_view(case, 1.0), 1.0, (-first, _wires_above_edge(case)))
    title = f"Full-scale pattern of segment {case.section.section} of order {case.order_no}"
    return Pattern(
        Sheet(long, TILE_HEIGHT, f"{title}, segment", "", (plan,)),
        _marks(case, long, title, ()),
        tuple(
            _marks(case, TILE_WIDTH, f"{title}, tile {number + 1} of {count}", tuple(_joins(number, count)))
            for number in range(count)
        ),
        tuple(STEP * number for number in range(count)),
    )


def _wires_above_edge(case: SegmentCase) -> float:
    """Give the height of the wires on the paper, so that dimensions or names below them clear the rule."""
    rows = rows_of(case, 1.0)
    return _CLEAR - (rows.names - 8.0 if rows.up else rows.overall - 3.5)


def _marks(case: SegmentCase, width: float, title: str, joins: tuple[Primitive, ...]) -> Sheet:
    """Put title, rule, joining marks and, where it must not be made, the warning on a sheet."""
    told, letters = fitted(f"Print at 100 %. {title}", width - 8.0, 2.6)
    words = (
        Text((width / 2.0, 4.0), told, layers.WORDS, letters, "middle"),
        Text((width / 2.0, TILE_HEIGHT - 4.0), warning_words(case), layers.WARNING, 4.0, "middle", bold=True),
    )
    about = f"{title}. Print at 100 %; the rule on it must measure 100 mm."
    marks = Placed(View("Marks", (*joins, *words)), 1.0, (0.0, 0.0))
    return Sheet(width, TILE_HEIGHT, title, about, (_rule(width), marks))


@lru_cache(maxsize=8)  # every tile has the same
def _rule(width: float) -> Placed:
    """Draw a rule of 100 mm with a tick every 10 mm, above the title line."""
    return Placed(View("Rule", tuple(_rule_lines(width))), 1.0, (0.0, 0.0))


def _rule_lines(width: float) -> Iterator[Primitive]:
    left = (width - _RULE) / 2.0
    yield Line((left, 9.0), (left + _RULE, 9.0), layers.FRAME)
    for tick in range(11):
        tall = 3.0 if tick % 5 == 0 else 1.5
        yield Line((left + 10.0 * tick, 9.0), (left + 10.0 * tick, 9.0 + tall), layers.FRAME)
    yield Text((left + _RULE + 3.0, 10.0), "100 mm", layers.WORDS, 2.2)


def _joins(number: int, count: int) -> Iterator[Primitive]:
    """Draw the line on which a tile meets its neighbours, with crosses, numbered alike on both."""
    for x, join in ((OVERLAP, number), (TILE_WIDTH - OVERLAP, number + 1)):
        if 0 < join < count:
            yield Line((x, 0.0), (x, TILE_HEIGHT), layers.SLOT)
            for y in _CROSSES:
                yield Line((x - 3.0, y), (x + 3.0, y), layers.FRAME)
            for y in (3.0, TILE_HEIGHT - 4.0):
                yield Text((x + 1.5, y), f"join {join}", layers.WORDS, 2.2)
