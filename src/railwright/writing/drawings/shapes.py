"""Rendering a sheet as shapes on a spreadsheet's page (DrawingML, ECMA-376-1, 20.1 and 20.5): lines, not pixels."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from xml.sax.saxutils import escape, quoteattr

from railwright.writing.drawings.dimensions import moved, picture_of
from railwright.writing.drawings.layers import Layer
from railwright.writing.drawings.primitives import (
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
    View,
)

_EMU = 36_000
#: Hundredths of a point to a mm.
_POINTS = 7200.0 / 25.4
#: A letter is on the average at most this wide, in letter heights; a box that is too wide does no harm.
_LETTER_WIDTH, _BOX_HEIGHT = 0.62, 1.8
_ALIGNED = {"start": "l", "middle": "ctr", "end": "r"}

_OPEN = (
    '<xdr:wsDr xmlns:xdr="http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing" '
    'xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main">'
)

Stroke = Line | Polyline | Circle


@dataclass(slots=True)
class _Shapes:
    """The shapes of one sheet while they are written, numbered from 2; 1 is the group that holds a view."""

    sheet: Sheet
    left_mm: float
    top_mm: float
    number: int = 0
    written: list[str] = field(default_factory=list)

    def next_number(self) -> int:
        """Give the next shape its number."""
        self.number += 1
        return self.number


def render_shapes(sheet: Sheet, left_mm: float, top_mm: float) -> bytes:
    """Render a sheet as a drawing part, one group a view, anchored to the page and not to cells.

    Args:
        sheet: the sheet; its views' titles become the groups' names and alternative texts.
        left_mm: where its left edge lies on the spreadsheet's page.
        top_mm: where its upper edge lies.

    Returns:
        XML, the same for the same sheet.

    Raises:
        ValueError: something lies beyond the page's left or upper edge; office programs leave such a group out.
    """
    shapes = _Shapes(sheet, left_mm, top_mm)
    body = "".join(_anchor(shapes, placed) for placed in sheet.views)
    head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    return f"{head}{_OPEN}{body}</xdr:wsDr>".encode()


@dataclass(frozen=True, slots=True)
class Beside:
    """A view that lies in a cell: row and column from 1, its left and upper edge in mm from the cell's."""

    view: View
    row: int
    column: int
    left_mm: float
    top_mm: float


def render_beside(pictures: Sequence[Beside], height_mm: float) -> bytes:
    """Render views as a drawing part, one group a view, each anchored to its cell, with which it moves.

    Args:
        pictures: the views, each drawn in real mm from its own corner below left.
        height_mm: how high every view's page is.

    Returns:
        XML, the same for the same pictures.

    Raises:
        ValueError: something lies beyond its view's left or upper edge.
    """
    shapes = _Shapes(Sheet(0.0, height_mm, "", "", ()), 0.0, 0.0)
    body = "".join(_in_cell(shapes, one) for one in pictures)
    head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    return f"{head}{_OPEN}{body}</xdr:wsDr>".encode()


def _in_cell(shapes: _Shapes, one: Beside) -> str:
    group, (left, top), size = _group(shapes, Placed(one.view, 1.0, (0.0, 0.0)))
    across, down = round(one.left_mm * _EMU) + left, round(one.top_mm * _EMU) + top
    return (
        f"<xdr:oneCellAnchor><xdr:from><xdr:col>{one.column - 1}</xdr:col><xdr:colOff>{across}</xdr:colOff>"
        f"<xdr:row>{one.row - 1}</xdr:row><xdr:rowOff>{down}</xdr:rowOff></xdr:from><xdr:ext {size}/>"
        f"{group}<xdr:clientData/></xdr:oneCellAnchor>"
    )


def _anchor(shapes: _Shapes, placed: Placed) -> str:
    group, (left, top), size = _group(shapes, placed)
    place = f'x="{left}" y="{top}"'
    return f"<xdr:absoluteAnchor><xdr:pos {place}/><xdr:ext {size}/>{group}<xdr:clientData/></xdr:absoluteAnchor>"


def _group(shapes: _Shapes, placed: Placed) -> tuple[str, tuple[int, int], str]:
    """Write one view as a group with the page's own measures, so that nothing in it is stretched.

    Gives the group, its left upper corner, and its size as attributes.
    """
    number, title = shapes.next_number(), quoteattr(placed.view.title)
    corners = list(_corners(shapes, placed))
    left, top = min(x for x, _ in corners), min(y for _, y in corners)
    if left < 0 or top < 0:
        raise ValueError(f"{placed.view.title!r} goes beyond the page's edge")
    wide, high = max(x for x, _ in corners) - left, max(y for _, y in corners) - top
    place, size = f'x="{left}" y="{top}"', f'cx="{wide}" cy="{high}"'
    inner = "".join(_shapes_of(shapes, placed))
    group = (
        f"<xdr:grpSp><xdr:nvGrpSpPr>"
        f'<xdr:cNvPr id="{number}" name={title} descr={title}/><xdr:cNvGrpSpPr/></xdr:nvGrpSpPr>'
        f"<xdr:grpSpPr><a:xfrm><a:off {place}/><a:ext {size}/><a:chOff {place}/><a:chExt {size}/></a:xfrm>"
        f"</xdr:grpSpPr>{inner}</xdr:grpSp>"
    )
    return group, (left, top), size


def _corners(shapes: _Shapes, placed: Placed) -> Iterator[tuple[int, int]]:
    for primitive in _drawn(placed):
        if isinstance(primitive, Text):
            x, y, wide, high = _box(shapes, primitive)
            yield from ((x, y), (x + wide, y + high))
        else:
            yield from (_at(shapes, point) for point in _extent(primitive))


def _drawn(placed: Placed) -> Iterator[Line | Polyline | Circle | Text]:
    """Give a view's primitives in mm of the sheet, dimensions as lines and words."""
    for primitive in placed.view.primitives:
        if isinstance(primitive, (Length, Ordinate)):
            yield from picture_of(primitive, placed)
        else:
            yield _placed(primitive, placed)


def _placed(primitive: Primitive, placed: Placed) -> Line | Polyline | Circle | Text:
    match primitive:
        case Line(start, end, layer):
            return Line(moved(start, placed), moved(end, placed), layer)
        case Polyline(points, layer, closed):
            return Polyline(tuple(moved(point, placed) for point in points), layer, closed)
        case Circle(centre, radius, layer):
            return Circle(moved(centre, placed), radius * placed.scale, layer)
        case Text(at, text, layer, height, anchor, turn, bold):
            return Text(moved(at, placed), text, layer, height, anchor, turn, bold)
    raise TypeError(f"{type(primitive).__name__} is not drawn by itself")


def _extent(stroke: Stroke) -> Iterator[Point]:
    match stroke:
        case Line(start, end):
            yield from (start, end)
        case Polyline(points):
            yield from points
        case Circle((x, y), radius):
            yield from ((x - radius, y - radius), (x + radius, y + radius))


def _at(shapes: _Shapes, point: Point) -> tuple[int, int]:
    """Give a place on the spreadsheet's page in its own fine measure, y downwards."""
    x, y = shapes.left_mm + point[0], shapes.top_mm + shapes.sheet.height_mm - point[1]
    return round(x * _EMU), round(y * _EMU)


def _shapes_of(shapes: _Shapes, placed: Placed) -> Iterator[str]:
    """Write each run of lines on one layer as one shape, and each text as one."""
    for (layer, is_text), some in groupby(_drawn(placed), key=lambda one: (one.layer, isinstance(one, Text))):
        if is_text:
            yield from (_text(shapes, one) for one in some if isinstance(one, Text) and one.text)
        else:
            yield _strokes(shapes, layer, [one for one in some if not isinstance(one, Text)])


def _strokes(shapes: _Shapes, layer: Layer, strokes: list[Stroke]) -> str:
    points = [_at(shapes, point) for stroke in strokes for point in _extent(stroke)]
    left, top = min(x for x, _ in points), min(y for _, y in points)
    wide, high = max(x for x, _ in points) - left, max(y for _, y in points) - top
    paths = "".join(_path(shapes, stroke, (left, top), (wide, high)) for stroke in strokes)
    fill = _solid(layer.fill) if layer.fill != "none" else "<a:noFill/>"
    dashes = '<a:prstDash val="sysDash"/>' if layer.dashes else ""
    return (
        f'{_shape(shapes, layer.name)}<xdr:spPr><a:xfrm><a:off x="{left}" y="{top}"/>'
        f'<a:ext cx="{wide}" cy="{high}"/></a:xfrm><a:custGeom><a:avLst/><a:gdLst/><a:ahLst/><a:cxnLst/>'
        f'<a:rect l="0" t="0" r="r" b="b"/><a:pathLst>{paths}</a:pathLst></a:custGeom>{fill}'
        f'<a:ln w="{round(layer.width_mm * _EMU)}">{_solid(layer.colour)}{dashes}</a:ln></xdr:spPr></xdr:sp>'
    )


def _shape(shapes: _Shapes, name: str) -> str:
    number = shapes.next_number()
    names = f'id="{number}" name={quoteattr(f"{name} {number}")}'
    return f'<xdr:sp macro="" textlink=""><xdr:nvSpPr><xdr:cNvPr {names}/><xdr:cNvSpPr/></xdr:nvSpPr>'


def _path(shapes: _Shapes, stroke: Stroke, origin: Point, size: Point) -> str:
    """Write one stroke; only closed ones are filled."""
    closed = isinstance(stroke, Circle) or (isinstance(stroke, Polyline) and stroke.closed)
    filled = "" if closed else ' fill="none"'
    body = _circle(shapes, stroke, origin) if isinstance(stroke, Circle) else _run(shapes, stroke, origin)
    end = "<a:close/>" if closed else ""
    return f'<a:path w="{size[0]}" h="{size[1]}"{filled}>{body}{end}</a:path>'


def _run(shapes: _Shapes, stroke: Line | Polyline, origin: Point) -> str:
    first, *others = (_inside(_at(shapes, point), origin) for point in _extent(stroke))
    return f"<a:moveTo>{first}</a:moveTo>" + "".join(f"<a:lnTo>{point}</a:lnTo>" for point in others)


def _circle(shapes: _Shapes, circle: Circle, origin: Point) -> str:
    start = _inside(_at(shapes, (circle.centre[0] - circle.radius, circle.centre[1])), origin)
    radius = round(circle.radius * _EMU)
    half = f'<a:arcTo wR="{radius}" hR="{radius}" stAng="{{}}" swAng="10800000"/>'
    return f"<a:moveTo>{start}</a:moveTo>{half.format(10_800_000)}{half.format(0)}"


def _inside(point: Point, origin: Point) -> str:
    return f'<a:pt x="{point[0] - origin[0]}" y="{point[1] - origin[1]}"/>'


def _box(shapes: _Shapes, text: Text) -> tuple[int, int, int, int]:
    """Give the box of a text before it is turned: left, top, width, height."""
    wide, high = text.height_mm * (_LETTER_WIDTH * len(text.text) + 1.0), text.height_mm * _BOX_HEIGHT
    before = {"start": 0.0, "middle": wide / 2.0, "end": wide}[text.anchor]
    left, top = _at(shapes, (text.at[0] - before, text.at[1] + high / 2.0))
    return left, top, round(wide * _EMU), round(high * _EMU)


def _text(shapes: _Shapes, text: Text) -> str:
    """Write words in a box of their own, which turns about its middle."""
    assert not text.turn_deg or text.anchor == "middle", "only words about their middle are turned"
    left, top, wide, high = _box(shapes, text)
    turn = f' rot="{round(-text.turn_deg * 60_000)}"' if text.turn_deg else ""
    size, bold = round(text.height_mm * _POINTS), ' b="1"' if text.bold else ""
    return (
        f'{_shape(shapes, "words")}<xdr:spPr><a:xfrm{turn}><a:off x="{left}" y="{top}"/>'
        f'<a:ext cx="{wide}" cy="{high}"/></a:xfrm><a:prstGeom prst="rect"><a:avLst/></a:prstGeom><a:noFill/>'
        f"<a:ln><a:noFill/></a:ln></xdr:spPr>"
        f'<xdr:txBody><a:bodyPr wrap="square" lIns="0" tIns="0" rIns="0" bIns="0" anchor="ctr"/><a:lstStyle/>'
        f'<a:p><a:pPr algn="{_ALIGNED[text.anchor]}"/><a:r><a:rPr lang="en" sz="{size}"{bold}>'
        f'{_solid(text.layer.colour)}<a:latin typeface="Arial"/></a:rPr>'
        f"<a:t>{escape(text.text)}</a:t></a:r></a:p></xdr:txBody></xdr:sp>"
    )


def _solid(colour: str) -> str:
    return f'<a:solidFill><a:srgbClr val="{colour.removeprefix("#").upper()}"/></a:solidFill>'
