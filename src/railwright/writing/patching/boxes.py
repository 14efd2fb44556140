"""The boxes in which notes are drawn: shapes in the old drawing language (VML) that spreadsheets still use for them.

The part is changed as text: spreadsheet programs write some of these parts in a way that no XML parser accepts,
and what is not a box of ours must stay as it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Container, Iterator, Mapping
from itertools import count

from lxml import etree

from railwright.reading import limits
from railwright.reading.addresses import whole_number
from railwright.writing.patching.draft import Draft, child_in_order
from railwright.writing.patching.planning import Place
from railwright.writing.patching.sheet_draft import WORKSHEET_ORDER, SheetDraft

VML_TYPE = "application/vnd.openxmlformats-officedocument.vmlDrawing"

_SPACES = (
    ' xmlns:v="urn:schemas-microsoft-com:vml" xmlns:o="urn:schemas-microsoft-com:office:office"'
    ' xmlns:x="urn:schemas-microsoft-com:office:excel"'
)
_SHAPE_TYPE = (
    '<v:shapetype id="_x0000_t202" coordsize="21600,21600" o:spt="202" path="m,l,21600r21600,l21600,xe"{}>'
    '<v:stroke joinstyle="miter"/><v:path gradientshapeok="t" o:connecttype="rect"/></v:shapetype>'
)
_NEW_PART = (
    "<xml" + _SPACES + '><o:shapelayout v:ext="edit"><o:idmap v:ext="edit" data="{}"/></o:shapelayout>'
    + _SHAPE_TYPE.format("") + "</xml>"
)  # fmt: skip
_SHAPE = (
    '<v:shape id="_x0000_s{id}" type="#_x0000_t202" style="position:absolute;margin-left:{x}pt;margin-top:{y}pt;'
    'width:{w}pt;height:{h}pt;z-index:{z};visibility:hidden" fillcolor="#ffffe1" o:insetmode="auto"{spaces}>'
    '<v:fill color2="#ffffe1"/><v:shadow on="t" color="black" obscured="t"/><v:path o:connecttype="none"/>'
    '<v:textbox style="mso-direction-alt:auto"><div style="text-align:left"></div></v:textbox>'
    '<x:ClientData ObjectType="Note"><x:MoveWithCells/><x:SizeWithCells/><x:Anchor>{anchor}</x:Anchor>'
    "<x:AutoFill>False</x:AutoFill><x:Row>{row}</x:Row><x:Column>{column}</x:Column></x:ClientData></v:shape>"
)

_OPENING = re.compile(r"<((?:[\w.-]+:)?)shape\b[^>]*(?<!/)>")
_NOTE = re.compile(r"""ObjectType\s*=\s*["']Note["']""")
_ROW = re.compile(r"<(?:[\w.-]+:)?Row>\s*(\d{1,7})\s*<")
_COLUMN = re.compile(r"<(?:[\w.-]+:)?Column>\s*(\d{1,5})\s*<")
_ANCHOR = re.compile(r"(<(?:[\w.-]+:)?Anchor>)([^<]*)(<)")
_SHAPE_ID = re.compile(r"_x0000_s(\d{1,9})\b")
_ID_MAP = re.compile(r"""<o:idmap\b[^>]*?\bdata\s*=\s*["'](\d{1,6})""")
_CLOSING = re.compile(r"</[\w.:-]+\s*>\s*\Z")

IDS_PER_PART = 1024

BOX_WIDTH = 280
LINE_HEIGHT = 15
MARGIN = 14
SIGN_WIDTH = 6.2
"""Measures of a box in pixels of 1/96 inch: a line of 9 point type and its widest usual sign."""


class Boxes:
    """The note boxes of one sheet."""

    def __init__(self, sheet: SheetDraft) -> None:
        """Open the drawing part that holds the boxes, if the sheet has one.

        Args:
            sheet: The sheet.
        """
        self._sheet, self._draft = sheet, sheet.draft
        self._r_id = f"{{{sheet.draft.r_namespace}}}id"
        element = sheet.root.find(sheet.ns + "legacyDrawing")
        identity = None if element is None else element.get(self._r_id)
        links = [link for link in sheet.draft.links(sheet.part) if link.id == identity and sheet.draft.has(link.target)]
        self._link = links[0] if links else None
        self.text = self._draft.read(self._link.target).decode("utf-8", "surrogateescape") if self._link else ""
        self._before = self.text
        self._grid: Grid | None = None

    @property
    def grid(self) -> Grid:
        """The sizes of columns and rows, measured when the first box is drawn."""
        if self._grid is None:
            self._grid = Grid(self._sheet.root, self._sheet.ns)
        return self._grid

    def places(self) -> set[Place]:
        """List the cells that have a box."""
        pieces = _pieces(self.text)
        return {place for is_shape, piece in pieces if is_shape and (place := _place(piece))}

    def remove(self, gone: Container[Place]) -> None:
        """Take out the boxes of notes that are gone."""
        kept = (piece for is_shape, piece in _pieces(self.text) if not (is_shape and _place(piece) in gone))
        self.text = "".join(kept)

    def add(self, texts: Mapping[Place, str]) -> bool:
        """Draw boxes beside cells, as large as their texts need.

        Args:
            texts: The whole text of each note, by cell.

        Returns:
            Whether that was possible; the part of a stranger may be in a form that cannot be added to.
        """
        if not texts:
            return True
        if not self.text:
            self.text = _NEW_PART.format(_free_id_map(self._draft))
        end = _CLOSING.search(self.text)
        if end is None:
            return False
        numbers = _free_numbers(self.text)
        shapes = [self._shape(place, text, next(numbers)) for place, text in texts.items()]
        self.text = "".join([self.text[: end.start()], *shapes, end.group()])
        return True

    def enlarge(self, place: Place, text: str) -> None:
        """Make the box of a note high enough for its text; a box is never made smaller."""
        pieces = [
            self._higher(piece, text) if is_shape and _place(piece) == place else piece
            for is_shape, piece in _pieces(self.text)
        ]
        self.text = "".join(pieces)

    def finish(self) -> None:
        """Put the part into the draft, or leave it out where nothing is drawn on it any more."""
        if self.text == self._before:
            return
        if self._link is not None and not any(is_shape for is_shape, _ in _pieces(self.text)):
            self._drop()
            return
        if self._link is None:
            self._begin()
        if self._link is not None:
            self._draft.put(self._link.target, self.text.encode("utf-8", "surrogateescape"))

    def _begin(self) -> None:
        part = self._draft.free_name("xl/drawings/vmlDrawing{}.vml")
        identity = self._draft.link(self._sheet.part, "vmlDrawing", part)
        self._link = next(link for link in self._draft.links(self._sheet.part) if link.id == identity)
        self._draft.declare_by_extension(part, VML_TYPE)
        old = self._sheet.root.find(self._sheet.ns + "legacyDrawing")
        if old is not None:
            self._sheet.root.remove(old)
        element = child_in_order(self._sheet.root, self._sheet.ns, "legacyDrawing", WORKSHEET_ORDER)
        element.set(self._r_id, identity)
        self._sheet.touch()

    def _drop(self) -> None:
        assert self._link is not None
        self._draft.unlink(self._sheet.part, self._link.id)
        self._draft.drop(self._link.target)
        element = self._sheet.root.find(self._sheet.ns + "legacyDrawing")
        if element is not None:
            self._sheet.root.remove(element)
            self._sheet.touch()

    def _shape(self, place: Place, text: str, number: int) -> str:
        height = needed_height(text, BOX_WIDTH)
        anchor, x, y = self.grid.anchor(place, BOX_WIDTH, height)
        declared = all(f"xmlns:{prefix}=" in self.text for prefix in "vox")
        return _SHAPE.format(
            id=number, x=_points(x), y=_points(y), w=_points(BOX_WIDTH), h=_points(height), z=number % IDS_PER_PART,
            spaces="" if declared else _SPACES, anchor=", ".join(map(str, anchor)),
            row=place[0] - 1, column=place[1] - 1,
        )  # fmt: skip

    def _higher(self, block: str, text: str) -> str:
        found = _ANCHOR.search(block)
        numbers = [part.strip() for part in found.group(2).split(",")] if found else []
        before = [whole_number(number, -1) for number in numbers]
        if found is None or len(before) != 8 or -1 in before:
            return block
        anchor = self.grid.heightened(before, text)
        written = ", ".join(map(str, anchor))
        return block if anchor == before else _ANCHOR.sub(rf"\g<1>{written}\g<3>", block, count=1)


class Grid:
    """Widths and heights of a sheet's columns and rows, in pixels."""

    def __init__(self, root: etree._Element, ns: str) -> None:
        """Read the sizes.

        Args:
            root: Root of the sheet part.
            ns: Namespace in braces.
        """
        defaults = root.find(ns + "sheetFormatPr")
        self._width = 64 if defaults is None else _pixels(defaults.get("defaultColWidth", ""), 7.0, 64)
        self._height = 20 if defaults is None else _pixels(defaults.get("defaultRowHeight", ""), 96 / 72, 20)
        self._columns = [_column(element) for element in root.iterfind(f"{ns}cols/{ns}col")]
        self._rows = {
            whole_number(row.get("r")): _row_height(row, self._height)
            for row in root.iterfind(f"{ns}sheetData/{ns}row")
        }

    def width(self, column: int) -> int:
        """Give the width of a column, counted from 1."""
        for first, last, width in self._columns:
            if first <= column <= last:
                return width
        return self._width

    def height(self, row: int) -> int:
        """Give the height of a row, counted from 1."""
        return self._rows.get(row, self._height)

    def anchor(self, place: Place, width: int, height: int) -> tuple[list[int], int, int]:
        """Place a box to the upper right of a cell.

        Args:
            place: Row and column from 1.
            width: Of the box.
            height: Of the box.

        Returns:
            The eight numbers of an anchor (column, offset, row, offset of two corners, counted from 0), and the
            distance of the box from the left and the top of the sheet.
        """
        column, row = min(place[1] + 1, limits.LAST_COLUMN - 8), max(place[0] - 1, 1)
        left = self._along(self.width, column, MARGIN, limits.LAST_COLUMN)
        top = self._along(self.height, row, 4, limits.LAST_ROW)
        right = self._along(self.width, left[0], left[1] + width, limits.LAST_COLUMN)
        bottom = self._along(self.height, top[0], top[1] + height, limits.LAST_ROW)
        x = sum(self.width(number) for number in range(1, left[0])) + left[1]
        y = sum(self.height(number) for number in range(1, top[0])) + top[1]
        corners = [left[0] - 1, left[1], top[0] - 1, top[1], right[0] - 1, right[1], bottom[0] - 1, bottom[1]]
        return corners, x, y

    def heightened(self, anchor: list[int], text: str) -> list[int]:
        """Move the lower edge of an anchor down until the text fits; leave it where it fits already."""
        left, left_offset, top, top_offset, right, right_offset, bottom, bottom_offset = anchor
        if not (left <= right < limits.LAST_COLUMN and top <= bottom < limits.LAST_ROW and bottom - top < 5_000):
            return anchor
        width = sum(self.width(number + 1) for number in range(left, right)) - left_offset + right_offset
        height = sum(self.height(number + 1) for number in range(top, bottom)) - top_offset + bottom_offset
        needed = needed_height(text, max(width, 60))
        if needed <= height:
            return anchor
        row, offset = self._along(self.height, top + 1, top_offset + needed, limits.LAST_ROW)
        return [*anchor[:6], row - 1, offset]

    def _along(self, size: Callable[[int], int], number: int, distance: int, last: int) -> tuple[int, int]:
        """Walk a distance along columns or rows and tell in which one it ends, and how far inside."""
        while number < last and distance >= size(number):
            distance -= size(number)
            number += 1
        return number, distance


def needed_height(text: str, width: int) -> int:
    """Estimate the height that a text needs in a box.

    Args:
        text: The text, with line breaks.
        width: Of the box, in pixels.

    Returns:
        Pixels.
    """
    signs = max(int((width - MARGIN) / SIGN_WIDTH), 5)
    lines = sum(max(1, -(-len(line) // signs)) for line in text.split("\n"))
    return min(lines, 60) * LINE_HEIGHT + MARGIN


def _place(block: str) -> Place | None:
    """Tell which cell's note a shape is the box of; ``None`` for any other shape."""
    row, column = _ROW.search(block), _COLUMN.search(block)
    if row is None or column is None or not _NOTE.search(block):
        return None
    return int(row.group(1)) + 1, int(column.group(1)) + 1


def _pieces(text: str) -> Iterator[tuple[bool, str]]:
    """Cut a drawing into its shapes and what lies between them, in one pass however broken it is."""
    at = 0
    while (opening := _OPENING.search(text, at)) is not None:
        closing = f"</{opening.group(1)}shape>"
        end = text.find(closing, opening.end())
        if end < 0:
            break
        yield False, text[at : opening.start()]
        at = end + len(closing)
        yield True, text[opening.start() : at]
    yield False, text[at:]


def _free_numbers(text: str) -> Iterator[int]:
    """Go through the shape numbers that a drawing has not used yet."""
    first = _ID_MAP.search(text)
    taken = {int(number) for number in _SHAPE_ID.findall(text)}
    start = (int(first.group(1)) if first else 1) * IDS_PER_PART + 1
    return (number for number in count(start) if number not in taken)


def _free_id_map(draft: Draft) -> int:
    """Find a block of shape numbers that no other drawing of the workbook uses."""
    names = [member.name for member in draft.package.members if member.unpacked <= limits.MAX_XML]
    parts = {name for name in [*names, *draft.put_parts()] if name.lower().endswith(".vml") and draft.has(name)}
    texts = (draft.read(name).decode("utf-8", "replace") for name in parts)
    taken = {int(number) for text in texts for number in _ID_MAP.findall(text)}
    return max(taken, default=0) + 1


def _points(pixels: int) -> str:
    return f"{pixels * 0.75:g}"


def _pixels(text: str, factor: float, otherwise: int) -> int:
    try:
        size = float(text)
    except ValueError:
        return otherwise
    return round(size * factor) if 0 <= size < 1000 else otherwise


def _column(element: etree._Element) -> tuple[int, int, int]:
    hidden = element.get("hidden") in ("1", "true")
    width = 0 if hidden else _pixels(element.get("width", ""), 7.0, 64)
    return whole_number(element.get("min")), whole_number(element.get("max")), width


def _row_height(row: etree._Element, default: int) -> int:
    return 0 if row.get("hidden") in ("1", "true") else _pixels(row.get("ht", ""), 96 / 72, default)
