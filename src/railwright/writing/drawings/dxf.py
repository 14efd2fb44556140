"""Rendering a sheet as DXF: real size in mm, true dimensions, the same bytes for the same drawing.

The frame of the file is made once; what differs from drawing to drawing is written here as pairs of a group code and
a value, as the format's reference lays down (AC1015, which every CAD and CNC program of the last decades reads).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache

from railwright.writing.drawings.dimensions import Drawn, moved, picture_of
from railwright.writing.drawings.dxf_frame import DIMENSIONS, FIRST_HANDLE, LETTERS, Frame, frame
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

#: What a group code and its value, or several of them, look like in the file.
Tags = str

#: Kinds of dimension, with the mark that the block with its picture is its own: rotated; ordinate along x.
_ROTATED, _ALONG_X = 0 + 32, 6 + 32 + 64
_ALIGNED = {"start": 0, "middle": 1, "end": 2}
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
        shared.head, draft.extent(), shared.tables, *draft.tables, shared.blocks, *draft.blocks,
        shared.entities, *draft.entities, shared.tail,
    )  # fmt: skip
    return "".join(parts).replace("\n", "\r\n").encode("ascii")


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


def _tag(code: int, value: str | int | float) -> Tags:
    return f"{code:3d}\n{_figure(value) if isinstance(value, float) else value}\n"


def _tags(*pairs: tuple[int, str | int | float]) -> Tags:
    return "".join([_tag(code, value) for code, value in pairs])


def _place(code: int, point: Point) -> Tags:
    """Spell a place in real space; the codes of places have two digits."""
    return f" {code}\n{_figure(float(point[0]))}\n {code + 10}\n{_figure(float(point[1]))}\n {code + 20}\n0.000000\n"


def _corner(point: Point) -> Tags:
    """Spell a corner of a polyline, which has one height for all of them."""
    return f" 10\n{_figure(float(point[0]))}\n 20\n{_figure(float(point[1]))}\n"


@dataclass(slots=True)
class _Draft:
    """One drawing while it grows: its entities, and the blocks with the pictures of its dimensions."""

    shared: Frame
    entities: list[Tags] = field(default_factory=list)
    blocks: list[Tags] = field(default_factory=list)
    tables: list[Tags] = field(default_factory=list)
    corners: list[Point] = field(default_factory=list)
    _handles: int = FIRST_HANDLE
    _dimensions: int = 0

    def add(self, primitive: Primitive, placed: Placed) -> None:
        """Add one primitive of a placed view."""
        if isinstance(primitive, (Length, Ordinate)):
            self._add_dimension(primitive, placed)
        else:
            self.entities.append(self._plain(primitive, placed, self.shared.model_space))

    def extent(self) -> Tags:
        """Give the header's tags on the smallest rectangle that holds every line."""
        xs, ys = zip(*(self.corners or [(0.0, 0.0)]), strict=True)
        least, most = _place(10, (min(xs), min(ys))), _place(10, (max(xs), max(ys)))
        return f"{_tag(9, '$EXTMIN')}{least}{_tag(9, '$EXTMAX')}{most}"

    def _handle(self) -> str:
        self._handles += 1
        return f"{self._handles:X}"

    def _entity(self, kind: str, layer: str, owner: str, marker: str) -> Tags:
        return f"  0\n{kind}\n  5\n{self._handle()}\n330\n{owner}\n100\nAcDbEntity\n  8\n{layer}\n100\n{marker}\n"

    def _plain(self, primitive: Line | Polyline | Circle | Text, placed: Placed, owner: str) -> Tags:
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

    def _line(self, start: Point, end: Point, layer: str, owner: str) -> Tags:
        self.corners += [start, end]
        return f"{self._entity('LINE', layer, owner, 'AcDbLine')}{_place(10, start)}{_place(11, end)}"

    def _polyline(self, points: list[Point], layer: str, closed: bool, owner: str) -> Tags:
        self.corners += points
        entity = self._entity("LWPOLYLINE", layer, owner, "AcDbPolyline")
        return f"{entity} 90\n{len(points)}\n 70\n{int(closed)}\n{''.join(map(_corner, points))}"

    def _circle(self, at: Point, radius: float, layer: str, owner: str) -> Tags:
        self.corners += [(at[0] - radius, at[1] - radius), (at[0] + radius, at[1] + radius)]
        return f"{self._entity('CIRCLE', layer, owner, 'AcDbCircle')}{_place(10, at)} 40\n{_figure(float(radius))}\n"

    def _text(self, text: Text, at: Point, owner: str) -> Tags:
        """Write words on the middle of their height; the format repeats its mark and wants the place twice."""
        entity, across = self._entity("TEXT", text.layer.name, owner, "AcDbText"), _ALIGNED[text.anchor]
        return (
            f"{entity}{_place(10, at)} 40\n{_figure(text.height_mm)}\n  1\n{words(text.text)}\n"
            f" 50\n{_figure(text.turn_deg)}\n  7\n{LETTERS}\n 72\n{across}\n{_place(11, at)}100\nAcDbText\n 73\n2\n"
        )

    def _add_dimension(self, dimension: Length | Ordinate, placed: Placed) -> None:
        """Add a dimension that measures by itself, and the block with its picture for programs that do not."""
        self._dimensions += 1
        name, record = f"*D{self._dimensions}", self._handle()
        picture = picture_of(dimension, placed)
        layer = dimension.layer.name
        self.tables.append(
            _tags(
                (0, "BLOCK_RECORD"), (5, record), (330, self.shared.block_table), (100, "AcDbSymbolTableRecord"),
                (100, "AcDbBlockTableRecord"), (2, name), (340, "0"),
            )
        )  # fmt: skip
        self.blocks += [self._entity("BLOCK", layer, record, "AcDbBlockBegin"), _tags((2, name), (70, 1))]
        self.blocks += [_place(10, (0.0, 0.0)), _tags((3, name), (1, ""))]
        self.blocks += [self._plain(primitive, Placed(placed.view, 1.0, (0.0, 0.0)), record) for primitive in picture]
        self.blocks.append(self._entity("ENDBLK", layer, record, "AcDbBlockEnd"))
        head = self._entity("DIMENSION", layer, self.shared.model_space, "AcDbDimension")
        self.entities += [head, _tag(2, name), _measure(dimension, placed, picture)]


def _measure(dimension: Length | Ordinate, placed: Placed, picture: list[Drawn]) -> Tags:
    """Give the tags by which a program measures a dimension again."""
    letters = next(part for part in picture if isinstance(part, Text))
    value = _tags((71, 5), (42, dimension.value_mm), (1, words(letters.text)), (3, DIMENSIONS))
    shared = f"{_place(11, letters.at)}{value}"
    if isinstance(dimension, Ordinate):
        datum = moved((dimension.datum, dimension.y_feature), placed)
        feature = moved((dimension.x, dimension.y_feature), placed)
        foot = moved((dimension.x_text, dimension.y_text), placed)
        ends = f"{_tag(100, 'AcDbOrdinateDimension')}{_place(13, feature)}{_place(14, foot)}"
        return f"{_place(10, datum)}{_tag(70, _ALONG_X)}{shared}{ends}"
    left, right = (moved((x, dimension.y_feature), placed) for x in (dimension.x1, dimension.x2))
    line = moved((dimension.x2, dimension.y_line), placed)
    ends = f"{_tag(100, 'AcDbAlignedDimension')}{_place(13, left)}{_place(14, right)}"
    return f"{_place(10, line)}{_tag(70, _ROTATED)}{shared}{ends}{_tag(100, 'AcDbRotatedDimension')}"
