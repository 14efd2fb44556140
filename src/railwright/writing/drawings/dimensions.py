"""Dimensions as lines and words, for files whose readers do not draw them by themselves."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.writing.drawings.primitives import Anchor, Length, Line, Ordinate, Placed, Point, Polyline, Text
from railwright.writing.numbers import fixed

Drawn = Line | Polyline | Text

#: Letters and arrows of dimensions, mm on paper.
LETTERS, ARROW = 2.2, 1.6


def moved(point: Point, placed: Placed) -> Point:
    """Give the place on the sheet of a point of a view."""
    scale, (left, below) = placed.scale, placed.origin
    return left + point[0] * scale, below + point[1] * scale


def picture_of(dimension: Length | Ordinate, placed: Placed) -> list[Drawn]:
    """Draw a dimension with lines and words, in the place on the sheet where it stands."""
    return list(_length(dimension, placed) if isinstance(dimension, Length) else _ordinate(dimension, placed))


def _length(length: Length, placed: Placed) -> Iterator[Drawn]:
    ends = sorted((length.x1, length.x2))
    features = [moved((x, length.y_feature), placed) for x in ends]
    left, right = (moved((x, length.y_line), placed) for x in ends)
    for feature, place in zip(features, (left, right), strict=True):
        yield Line(feature, place, length.layer)
    yield Line(left, right, length.layer)
    for (x, y), way in ((left, ARROW), (right, -ARROW)):
        yield Polyline(((x, y), (x + way, y + ARROW / 4), (x + way, y - ARROW / 4)), length.layer, closed=True)
    middle = ((left[0] + right[0]) / 2.0, left[1] + (1.8 if length.upward else -1.8))
    note = f"{fixed(length.value_mm)} {length.note}".strip()
    yield Text(middle, note, length.layer, LETTERS, "middle")


def _ordinate(ordinate: Ordinate, placed: Placed) -> Iterator[Drawn]:
    way = 1.0 if ordinate.upward else -1.0
    feature = moved((ordinate.x, ordinate.y_feature), placed)
    foot = moved((ordinate.x_text, ordinate.y_text), placed)
    yield Polyline((feature, (feature[0], feature[1] + way * 1.5), foot), ordinate.layer)
    anchor: Anchor = "start" if ordinate.upward else "end"
    at = (foot[0], foot[1] + way * 0.6)
    yield Text(at, fixed(ordinate.value_mm), ordinate.layer, LETTERS, anchor, 90.0)
