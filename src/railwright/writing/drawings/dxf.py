"""Rendering a sheet as DXF: real size in mm, true dimensions, the same bytes for the same drawing.

The frame of the file is made once; what differs from drawing to drawing is written here as pairs of a group code and
a value, as the format's reference lays down (AC1015, which every CAD and CNC program of the last decades reads).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from railwright.writing.drawings.dimensions import Drawn, moved, picture_of
from railwright.writing.drawings.dxf_frame import DIMENSIONS, FIRST_HANDLE, LETTERS, LINE_END, Frame, frame
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
)

#: Group codes and values in turn, as the file has them, one a line.
Lines = tuple[str, ...]

#: Every group code as the format spells it; the greatest is 1071.
_CODES = tuple(f"{code:3d}" for code in range(1072))

#: Kinds of dimension, with the mark that the block with its picture is its own: rotated; ordinate along x.
_ROTATED, _ALONG_X = str(0 + 32), str(6 + 32 + 64)
_ALIGNED = {"start": "0", "middle": "1", "end": "2"}
_UNPRINTABLE = re.compile(r"[\x00-\x1f\x7f\ud800-\udfff\ufffe\uffff]")


def render_dxf(sheet: Sheet) -> bytes:
    """Render a sheet whose views are at full scale.

    Args:
        sheet: the sheet.

    Returns:
        A DXF file, lines ended as on the office's machines.

    Raises:
        ValueError: a view is at another scale; a machine would make the part in that size.
    """
    if any(placed.scale != 1.0 for placed in sheet.views):
        raise ValueError("a drawing for a machine is at full scale")
    shared = frame()
    draft = _Draft(shared)
    for placed in sheet.views:
        for primitive in placed.view.primitives:
            draft.add(primitive, placed)
    parts = (
        shared.head, _joined(draft.extent()), shared.tables, _joined(draft.tables), shared.blocks,
        _joined(draft.blocks), shared.entities, _joined(draft.entities), shared.tail,
    )  # fmt: skip
    return "".join(parts).encode("ascii")


def _joined(lines: Sequence[str]) -> str:
    return LINE_END.join((*lines, ""))


@lru_cache(maxsize=4_096)  # the same note names and cautions stand on every drawing
def words(text: str) -> str:
    """Spell any text in signs that the format has, so that none of them ends a line or is taken for a sign of another.

    Args:
        text: what is to be read.

    Returns:
        ASCII; other letters by their Unicode number, as ``\\\\U+00E9``.
    """
    plain = _UNPRINTABLE.sub("?", text).replace("^", "^ ")
    plain = re.sub("%(?=%)", "% ", plain)
    return "".join(sign if sign.isascii() else _numbered(sign) for sign in plain)


def _numbered(sign: str) -> str:
    return f"\\U+{ord(sign):04X}" if ord(sign) < 0x10000 else "?"


@lru_cache(maxsize=1_024)  # most places of a drawing share a coordinate with others; a larger table is slower
def _figure(value: float) -> str:
    """Spell a length to a millionth of a mm, never with a power of ten, never ``-0``."""
    return f"{round(value, 6) + 0.0:.6f}"


def _tags(*pairs: tuple[int, str]) -> Lines:
    return tuple([line for code, value in pairs for line in (_CODES[code], value)])


def _place(code: int, point: Point) -> Lines:
    x, y = point
    return _CODES[code], _figure(float(x)), _CODES[code + 10], _figure(float(y)), _CODES[code + 20], "0.000000"


@dataclass(slots=True)
class _Draft:
    """One drawing while it grows: its entities, and the blocks with the pictures of its dimensions."""

    shared: Frame
    entities: list[str] = field(default_factory=list)
    blocks: list[str] = field(default_factory=list)
    tables: list[str] = field(default_factory=list)
    corners: list[Point] = field(default_factory=list)
    _handles: int = FIRST_HANDLE
    _dimensions: int = 0

    def add(self, primitive: Primitive, placed: Placed) -> None:
        """Add one primitive of a placed view."""
        if isinstance(primitive, (Length, Ordinate)):
            self._add_dimension(primitive, placed)
        else:
            self.entities += self._plain(primitive, placed, self.shared.model_space)

    def extent(self) -> Lines:
        """Give the header's lines on the smallest rectangle that holds every line."""
        xs, ys = zip(*(self.corners or [(0.0, 0.0)]), strict=True)
        least, most = (min(xs), min(ys)), (max(xs), max(ys))
        return (*_tags((9, "$EXTMIN")), *_place(10, least), *_tags((9, "$EXTMAX")), *_place(10, most))

    def _handle(self) -> str:
        self._handles += 1
        return f"{self._handles:X}"

    def _entity(self, kind: str, layer: str, owner: str, marker: str) -> Lines:
        handle = self._handle()
        return "  0", kind, "  5", handle, "330", owner, "100", "AcDbEntity", "  8", layer, "100", marker

    def _plain(self, primitive: Line | Polyline | Circle | Text, placed: Placed, owner: str) -> Lines:
        layer = primitive.layer.name
        match primitive:  # without what is in it: looking that up by name is quicker
            case Line():
                return self._line(moved(primitive.start, placed), moved(primitive.end, placed), layer, owner)
            case Polyline():
                points = [moved(point, placed) for point in primitive.points]
                return self._polyline(points, layer, primitive.closed, owner)
            case Circle():
                return self._circle(moved(primitive.centre, placed), primitive.radius, layer, owner)
            case Text():
                return self._text(primitive, moved(primitive.at, placed), owner)

    def _line(self, start: Point, end: Point, layer: str, owner: str) -> Lines:
        self.corners += [start, end]
        return (*self._entity("LINE", layer, owner, "AcDbLine"), *_place(10, start), *_place(11, end))

    def _polyline(self, points: list[Point], layer: str, closed: bool, owner: str) -> Lines:
        self.corners += points
        corners = [line for point in points for line in _place(10, point)[:4]]  # all of them have one height
        head = self._entity("LWPOLYLINE", layer, owner, "AcDbPolyline")
        return (*head, " 90", str(len(points)), " 70", str(int(closed)), *corners)

    def _circle(self, at: Point, radius: float, layer: str, owner: str) -> Lines:
        self.corners += [(at[0] - radius, at[1] - radius), (at[0] + radius, at[1] + radius)]
        head = self._entity("CIRCLE", layer, owner, "AcDbCircle")
        return (*head, *_place(10, at), " 40", _figure(float(radius)))

    def _text(self, text: Text, at: Point, owner: str) -> Lines:
        """Write words on the middle of their height; the format repeats its mark and wants the place twice."""
        return (
            *self._entity("TEXT", text.layer.name, owner, "AcDbText"), *_place(10, at),
            " 40", _figure(text.height_mm), "  1", words(text.text), " 50", _figure(text.turn_deg), "  7", LETTERS,
            " 72", _ALIGNED[text.anchor], *_place(11, at), "100", "AcDbText", " 73", "2",
        )  # fmt: skip

    def _add_dimension(self, dimension: Length | Ordinate, placed: Placed) -> None:
        """Add a dimension that measures by itself, and the block with its picture for programs that do not."""
        self._dimensions += 1
        name, record = f"*D{self._dimensions}", self._handle()
        picture = picture_of(dimension, placed)
        layer = dimension.layer.name
        self.tables += _tags(
            (0, "BLOCK_RECORD"), (5, record), (330, self.shared.block_table), (100, "AcDbSymbolTableRecord"),
            (100, "AcDbBlockTableRecord"), (2, name), (340, "0"),
        )  # fmt: skip
        self.blocks += [*self._entity("BLOCK", layer, record, "AcDbBlockBegin"), *_tags((2, name), (70, "1"))]
        self.blocks += [*_place(10, (0.0, 0.0)), *_tags((3, name), (1, ""))]
        for primitive in picture:
            self.blocks += self._plain(primitive, Placed(placed.view, 1.0, (0.0, 0.0)), record)
        self.blocks += self._entity("ENDBLK", layer, record, "AcDbBlockEnd")
        head = self._entity("DIMENSION", layer, self.shared.model_space, "AcDbDimension")
        self.entities += [*head, *_tags((2, name)), *_measure(dimension, placed, picture)]


def _measure(dimension: Length | Ordinate, placed: Placed, picture: list[Drawn]) -> Lines:
    """Give the lines by which a program measures a dimension again."""
    letters = next(part for part in picture if isinstance(part, Text))
    value = _tags((71, "5"), (42, _figure(dimension.value_mm)), (1, words(letters.text)))
    shared = (*_place(11, letters.at), *value)
    if isinstance(dimension, Ordinate):
        datum = moved((dimension.datum, dimension.y_feature), placed)
        feature = moved((dimension.x, dimension.y_feature), placed)
        foot = moved((dimension.x_text, dimension.y_text), placed)
        ends = (*_tags((100, "AcDbOrdinateDimension")), *_place(13, feature), *_place(14, foot))
        return (*_place(10, datum), *_tags((70, _ALONG_X)), *shared, *_tags((3, DIMENSIONS)), *ends)
    left, right = (moved((x, dimension.y_feature), placed) for x in (dimension.x1, dimension.x2))
    line = moved((dimension.x2, dimension.y_line), placed)
    ends = (*_tags((100, "AcDbAlignedDimension")), *_place(13, left), *_place(14, right))
    last = _tags((100, "AcDbRotatedDimension"))
    return (*_place(10, line), *_tags((70, _ROTATED)), *shared, *_tags((3, DIMENSIONS)), *ends, *last)
