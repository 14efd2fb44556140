"""Full-scale patterns of segments: one long drawing, and the same in tiles that ordinary printers can print.

A pattern is laid on the guide rail or glued to the stock. Tiles overlap; each carries joining marks and a rule of
exactly 100 mm that shows whether the printer kept the scale.
"""

from __future__ import annotations

from collections.abc import Iterator

from railwright.writing.drawings import layers
from railwright.writing.drawings.plan_view import plan_view
from railwright.writing.drawings.primitives import Line, Placed, Primitive, Sheet, Text, View
from railwright.writing.drawings.segment_case import SegmentCase, outline, warning_words

#: A tile fits A4 and Letter laid across, with 15 mm of margin and more, two tiles on a page.
TILE_WIDTH, TILE_HEIGHT, OVERLAP = 240.0, 82.0, 10.0
#: What one tile adds to the pattern.
STEP = TILE_WIDTH - 2.0 * OVERLAP
_RULE = 100.0
#: Paper left and right of the segment for the words there.
_BESIDE = 28.0


def pattern_extent(case: SegmentCase) -> tuple[float, float]:
    """Give the first and the last x that a pattern shows, mm along the rail."""
    xs = [x for x, _ in outline(case, case.carrier.width_mm)]
    return min(xs) - _BESIDE, max(xs) + _BESIDE


def pattern_sheet(case: SegmentCase) -> Sheet:
    """Draw a segment at full scale on one long sheet.

    Args:
        case: the segment.

    Returns:
        A sheet as long as the segment with its words; one mm on paper is one mm.
    """
    first, last = pattern_extent(case)
    return _sheet(case, first, last - first, _title(case), tuple(_rule(case, last - first)))


def pattern_tiles(case: SegmentCase) -> tuple[Sheet, ...]:
    """Draw a segment at full scale on tiles that are joined at their marks.

    Args:
        case: the segment.

    Returns:
        Tiles from the bass end on.
    """
    first, last = pattern_extent(case)
    count = max(1, -int(-(last - first) // STEP))
    return tuple(
        _sheet(
            case,
            first + STEP * number - OVERLAP,
            TILE_WIDTH,
            f"{_title(case)}, tile {number + 1} of {count}",
            (*_rule(case, TILE_WIDTH), *_joins(number, count)),
        )
        for number in range(count)
    )


def _title(case: SegmentCase) -> str:
    return f"Full-scale pattern of segment {case.section.section} of order {case.order_no}"


def _sheet(case: SegmentCase, left: float, width: float, title: str, marks: tuple[Primitive, ...]) -> Sheet:
    wires = 46.0 if case.offset_mm < 0 else 36.0
    plan = Placed(plan_view(case, 1.0), 1.0, (-left, wires))
    words = (
        Text((width / 2.0, 4.0), title, layers.WORDS, 2.6, "middle"),
        Text((width / 2.0, TILE_HEIGHT - 4.0), warning_words(case), layers.WARNING, 4.0, "middle", bold=True),
    )
    about = f"{title}. Print at 100 %; the rule on it must measure 100 mm."
    return Sheet(width, TILE_HEIGHT, title, about, (plan, Placed(View("Marks", (*marks, *words)), 1.0, (0.0, 0.0))))


def _rule(case: SegmentCase, width: float) -> Iterator[Primitive]:
    """Draw a rule of 100 mm with a tick every 10 mm, above the title line."""
    left = (width - _RULE) / 2.0
    yield Line((left, 9.0), (left + _RULE, 9.0), layers.FRAME)
    for tick in range(11):
        tall = 3.0 if tick % 5 == 0 else 1.5
        yield Line((left + 10.0 * tick, 9.0), (left + 10.0 * tick, 9.0 + tall), layers.FRAME)
    yield Text((left + _RULE + 3.0, 10.0), "100 mm", layers.WORDS, 2.2)


def _joins(number: int, count: int) -> Iterator[Primitive]:
    """Draw the line on which a tile meets its neighbours, lettered alike on both."""
    for x, join in ((OVERLAP, number), (TILE_WIDTH - OVERLAP, number + 1)):
        if 0 < join < count:
            yield Line((x, 0.0), (x, TILE_HEIGHT), layers.SLOT)
            for y in (3.0, TILE_HEIGHT - 4.0):
                yield Text((x + 1.5, y), f"join {join}", layers.WORDS, 2.2)
