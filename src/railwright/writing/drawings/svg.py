"""Rendering a sheet as SVG: millimetres as user units, figures always spelled alike, words escaped."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from xml.sax.saxutils import escape

from railwright.writing.drawings.layers import LAYERS, Layer
from railwright.writing.drawings.primitives import (
    Anchor,
    Circle,
    Length,
    Line,
    Ordinate,
    Placed,
    Point,
    Polyline,
    Primitive,
    Sheet,
    Text,
)
from railwright.writing.numbers import fixed

_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
#: Middle of the letters above their foot line, in letter heights, for ordinary sans-serif figures and capitals.
_MIDDLE = 0.36
_ARROW = 1.6
#: Letters of dimensions, mm on paper.
_DIMENSION_LETTERS = 2.2


def render(sheet: Sheet, name: str, under: str = "") -> str:
    """Render a sheet.

    Args:
        sheet: the sheet.
        name: a file name without its ending; makes the marks inside unique where pages hold several drawings.
        under: SVG of our own that the sheet is drawn on.

    Returns:
        An SVG document without an XML declaration, fit for a file and for the inside of a page.
    """
    marks = re.sub(r"[^A-Za-z0-9_-]", "-", name)
    size = f'width="{figure(sheet.width_mm)}mm" height="{figure(sheet.height_mm)}mm"'
    box = f'viewBox="0 0 {figure(sheet.width_mm)} {figure(sheet.height_mm)}"'
    labels = f'role="img" aria-labelledby="{marks}-title {marks}-desc"'
    body = under + markup(sheet)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box} {labels} font-family="Helvetica, Arial, sans-serif">\n'
        f'<title id="{marks}-title">{_words(sheet.title)}</title>\n'
        f'<desc id="{marks}-desc">{_words(sheet.description)}</desc>\n'
        f'<rect width="100%" height="100%" fill="#ffffff"/>\n{body}\n</svg>\n'
    )


def markup(sheet: Sheet) -> str:
    """Render what is on a sheet, layer by layer, without the document around it."""
    return "\n".join(_layers(sheet))


@lru_cache(maxsize=1_024)  # most places of a drawing share a coordinate with others; a larger table is slower
def figure(value: float) -> str:
    """Spell a coordinate with up to three decimals, never ``-0``."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


@lru_cache(maxsize=4_096)  # the same note names, sizes and cautions stand on every drawing of an instrument
def _words(text: str) -> str:
    return escape(_UNPRINTABLE.sub("\ufffd", text))


def _layers(sheet: Sheet) -> Iterator[str]:
    """Give one group a layer, the far ones first."""
    views = [_marks_of(placed, sheet.height_mm) for placed in sheet.views]
    name = re.sub(r"[^A-Za-z0-9_-]+", "-", sheet.title)
    for layer in LAYERS:
        marks = [mark for view in views for mark in view[layer.name]]
        if marks:
            yield f'<g id="{name}-{layer.name}" {_STYLES[layer.name]}>\n' + "\n".join(marks) + "\n</g>"


@lru_cache(maxsize=32)  # sheets of one segment, and tiles of one pattern, show most of their views alike
def _marks_of(placed: Placed, height_mm: float) -> Mapping[str, Sequence[str]]:
    """Render one view on a sheet of some height, layer by layer."""
    paper = _Paper(placed, height_mm)
    marks: dict[str, list[str]] = {layer.name: [] for layer in LAYERS}
    for primitive in placed.view.primitives:
        marks[primitive.layer.name] += _marks(primitive, paper)
    return marks


def _style(layer: Layer) -> str:
    dashes = f' stroke-dasharray="{" ".join(map(figure, layer.dashes))}"' if layer.dashes else ""
    return f'stroke="{layer.colour}" stroke-width="{figure(layer.width_mm)}" fill="{layer.fill}"{dashes}'


_STYLES = {layer.name: _style(layer) for layer in LAYERS}


class _Paper:
    """Carries real places of one view to the paper, y downwards."""

    def __init__(self, placed: Placed, height_mm: float) -> None:
        (self.left, self.below), self.scale, self.height_mm = placed.origin, placed.scale, height_mm

    def at(self, point: Point) -> Point:
        """Give a place on paper."""
        x, y = point
        return self.left + x * self.scale, self.height_mm - (self.below + y * self.scale)

    def size(self, value: float) -> float:
        """Give a real size on paper."""
        return value * self.scale


def _marks(primitive: Primitive, paper: _Paper) -> Iterable[str]:
    match primitive:  # without what is in it: looking that up by name is quicker
        case Line():
            return (_line(paper.at(primitive.start), paper.at(primitive.end)),)
        case Text():
            return (_text(primitive, paper.at(primitive.at)),) if primitive.text else ()
        case Polyline():
            places = _places(map(paper.at, primitive.points))
            closed = primitive.closed
            return (f'<polygon points="{places}"/>' if closed else f'<polyline points="{places}" fill="none"/>',)
        case Circle():
            x, y = paper.at(primitive.centre)
            return (f'<circle cx="{figure(x)}" cy="{figure(y)}" r="{figure(paper.size(primitive.radius))}"/>',)
        case Length():
            return _length(primitive, paper)
        case Ordinate():
            return _ordinate(primitive, paper)


def _places(points: Iterable[Point]) -> str:
    return " ".join([f"{figure(x)},{figure(y)}" for x, y in points])


def _line(start: Point, end: Point) -> str:
    (x1, y1), (x2, y2) = start, end
    return f'<line x1="{figure(x1)}" y1="{figure(y1)}" x2="{figure(x2)}" y2="{figure(y2)}"/>'


def _text(text: Text, at: Point) -> str:
    x, y = at
    turn = f' transform="rotate({figure(-text.turn_deg)} {figure(x)} {figure(y)})"' if text.turn_deg else ""
    weight = ' font-weight="bold"' if text.bold else ""
    return (
        f'<text x="{figure(x)}" y="{figure(y + _MIDDLE * text.height_mm)}" font-size="{figure(text.height_mm)}" '
        f'text-anchor="{text.anchor}" stroke="none" fill="{text.layer.colour}"{weight}{turn}>{_words(text.text)}</text>'
    )


def _length(length: Length, paper: _Paper) -> Iterator[str]:
    left, right = sorted((length.x1, length.x2))
    start, end = paper.at((left, length.y_line)), paper.at((right, length.y_line))
    for x, place in ((left, start), (right, end)):
        yield _line(paper.at((x, length.y_feature)), place)
    yield _line(start, end)
    for (x, y), way in ((start, 1.0), (end, -1.0)):
        yield f'<polygon points="{_places(_arrow(x, y, way))}" fill="{length.layer.colour}" stroke="none"/>'
    words = f"{fixed(length.value_mm)} {length.note}".strip()
    middle = ((start[0] + end[0]) / 2.0, start[1] + (-1.8 if length.upward else 1.8))
    yield _text(Text((0.0, 0.0), words, length.layer, _DIMENSION_LETTERS, "middle"), middle)


def _arrow(x: float, y: float, way: float) -> tuple[Point, Point, Point]:
    return (x, y), (x + way * _ARROW, y - _ARROW / 4), (x + way * _ARROW, y + _ARROW / 4)


def _ordinate(ordinate: Ordinate, paper: _Paper) -> Iterator[str]:
    """Draw a leader from the feature to its figure, bent where the figure had to make room for another."""
    feature, foot = paper.at((ordinate.x, ordinate.y_feature)), paper.at((ordinate.x_text, ordinate.y_text))
    way = -1.0 if ordinate.upward else 1.0
    knee = (feature[0], feature[1] + way * 1.5)
    yield f'<polyline points="{_places((feature, knee, foot))}" fill="none"/>'
    anchor: Anchor = "start" if ordinate.upward else "end"
    text = Text((0.0, 0.0), fixed(ordinate.value_mm), ordinate.layer, _DIMENSION_LETTERS, anchor, 90.0)
    yield _text(text, (foot[0], foot[1] + way * 0.6))
