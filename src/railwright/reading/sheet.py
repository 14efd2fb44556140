"""The cells of one sheet."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Literal

from lxml import etree

from railwright.reading import limits
from railwright.reading.addresses import address, parse_address, parse_range
from railwright.reading.formats import CellFormats, from_serial
from railwright.reading.recognise import SEND_AGAIN
from railwright.reading.strings import joined_text, unescape
from railwright.reading.unreadable import Unreadable

CellKind = Literal["blank", "text", "number", "bool", "date", "error", "formula_without_result"]

_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
MAX_NUMBER_LENGTH = 400
"""Signs of a written number: the longest double, written out without exponent, has 328."""


@dataclass(frozen=True, slots=True)
class CellValue:
    """What one cell holds.

    Attributes:
        kind: What sort of content it is. ``error`` covers both the error values of a formula (``#N/A``) and content
            that breaks the format, such as a number that is none.
        value: Text, number (float), truth value, or the date, time or both; ``None`` for the other kinds.
        text: The content as text: as typed for text, the shortest decimal form for a number, ISO form for a date.
        number_format: Format code of the cell, such as ``General`` or ``yyyy-mm-dd``.
        formula: The formula without its equals sign; ``None`` for a typed value. A cell that shares the formula of
            another has an empty one.
        serial: The raw number behind a date, else ``None``.
    """

    kind: CellKind
    value: str | float | bool | date | datetime | time | None = None
    text: str = ""
    number_format: str = "General"
    formula: str | None = None
    serial: float | None = None


BLANK = CellValue("blank")


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What a sheet needs from the rest of its workbook to understand its cells."""

    ns: str
    strings: Callable[[], list[str]]
    formats: CellFormats
    system_1904: bool


class Sheet:
    """The cells of one parsed sheet, understood one by one on request."""

    def __init__(self, root: etree._Element, name: str, around: Surroundings) -> None:
        """Index the cells by address without looking into them.

        Args:
            root: Root of the sheet part.
            name: Name of the sheet, for messages.
            around: The rest of the workbook.

        Raises:
            Unreadable: If it has too many cells, or a cell whose address is none or is taken.
        """
        self.name = name
        self._around = around
        self._elements = placed_cells(root, around.ns, name)
        self.merges = merged_areas(root, around.ns, name)

    def cell(self, ref: str) -> CellValue:
        """Give the content of one cell; inside a merged area that of the area's top left cell.

        Args:
            ref: Its address.

        Returns:
            The content; blank for a cell that was never written.
        """
        place = parse_address(ref)
        if place is None:
            raise ValueError(f"no cell address: {ref!r}")
        element = self._elements.get(self.anchor(*place))
        return BLANK if element is None else self._understood(element)

    def cells(self) -> Iterator[tuple[str, CellValue]]:
        """Go through the cells that are not blank, row by row."""
        for place in sorted(self._elements):
            value = self._understood(self._elements[place])
            if value.kind != "blank":
                yield address(*place), value

    def anchor(self, row: int, column: int) -> tuple[int, int]:
        """Give the top left cell of the merged area around a cell, or the cell itself."""
        return anchor_in(self.merges, (row, column))

    def _understood(self, cell: etree._Element) -> CellValue:
        return read_cell(cell, self._around)


def merged_areas(root: etree._Element, ns: str, name: str) -> list[tuple[int, int, int, int]]:
    """List the merged areas of a sheet.

    Args:
        root: Root of the sheet part.
        ns: Namespace in braces.
        name: Name of the sheet, for messages.

    Returns:
        First row, first column, last row and last column of each.

    Raises:
        Unreadable: If there are more than any form has.
    """
    elements = root.findall(f"{ns}mergeCells/{ns}mergeCell")
    if len(elements) > limits.MAX_MERGES:
        raise Unreadable(f"Sheet {name!r} has {len(elements)} merged areas, which no survey has.", SEND_AGAIN)
    areas = (parse_range(element.get("ref", "")) for element in elements)
    return [area for area in areas if area is not None]


def anchor_in(merges: list[tuple[int, int, int, int]], place: tuple[int, int]) -> tuple[int, int]:
    """Give the top left cell of the merged area around a cell, or the cell itself.

    Args:
        merges: The areas, each as first row, first column, last row, last column.
        place: Row and column.

    Returns:
        Row and column.
    """
    for top, left, bottom, right in merges:
        if top <= place[0] <= bottom and left <= place[1] <= right:
            return top, left
    return place


def placed_cells(root: etree._Element, ns: str, name: str) -> dict[tuple[int, int], etree._Element]:
    """Find the place of every cell element of a sheet.

    A row or cell without an address follows the one before (ECMA-376-1, 18.3.1.4 and 18.3.1.73 leave it optional).

    Args:
        root: Root of the sheet part.
        ns: Namespace in braces.
        name: Name of the sheet, for messages.

    Returns:
        The elements by row and column, both from 1, in the order of the sheet.

    Raises:
        Unreadable: If there are too many cells, or an address is none or is taken.
    """
    placed: dict[tuple[int, int], etree._Element] = {}
    tag = ns + "c"
    row_number = 0
    for row in root.iterfind(f"{ns}sheetData/{ns}row"):
        row_number = _row_number(row, row_number + 1, name)
        column = 0
        for cell in row.iterchildren(tag):
            ref = cell.get("r")
            place = (row_number, column + 1) if ref is None else parse_address(ref)
            if place is None or place in placed or place[1] > limits.LAST_COLUMN:
                raise _bad_address(name, ref)
            placed[place] = cell
            column = place[1]
        if len(placed) > limits.MAX_CELLS:
            raise too_many_cells(name)
    return placed


def _row_number(row: etree._Element, expected: int, name: str) -> int:
    written = row.get("r")
    if written is None:
        return expected
    if not (written.isascii() and written.isdecimal() and len(written) < 8 and 0 < int(written) <= limits.LAST_ROW):
        raise _bad_address(name, written)
    return int(written)


def _bad_address(sheet: str, ref: str | None) -> Unreadable:
    what = f"the cell address {(ref or '')[:20]!r} on sheet {sheet!r} does not exist or stands there twice"
    return Unreadable(f"The workbook is damaged: {what}.", SEND_AGAIN)


def too_many_cells(sheet: str) -> Unreadable:
    """Name a sheet with more cells than are read."""
    return Unreadable(
        f"Sheet {sheet!r} has more than {limits.MAX_CELLS} cells, usually because rows far below the form carry a "
        "format.",
        "Delete the rows below and the columns beside the form, save, and send it again.",
    )


def read_cell(cell: etree._Element, around: Surroundings) -> CellValue:
    """Understand one cell element.

    Args:
        cell: The ``c`` element.
        around: The rest of the workbook.

    Returns:
        Its content.
    """
    ns = around.ns
    style = cell.get("s", "0")
    code = around.formats.code(int(style) if style.isdecimal() and len(style) < 7 else 0)
    children = {child.tag: child for child in reversed(cell)}  # reversed: of two of a kind the first one counts
    formula = children.get(ns + "f")
    written = None if formula is None else unescape(formula.text or "")
    kind = cell.get("t", "n")
    if kind == "inlineStr":
        item = children.get(ns + "is")
        return _text("" if item is None else joined_text(item, ns), code, written)
    element = children.get(ns + "v")
    raw = "" if element is None else element.text or ""
    if written is not None and not raw and not (kind == "str" and element is not None):
        return CellValue("formula_without_result", number_format=code, formula=written)
    return _from_raw(kind, raw, code, written, around)


def _from_raw(kind: str, raw: str, code: str, formula: str | None, around: Surroundings) -> CellValue:
    if kind == "str":
        return _text(unescape(raw), code, formula)
    raw = raw.strip()
    if not raw:
        return CellValue("blank", number_format=code, formula=formula)
    if kind == "s":
        return _shared(raw, code, formula, around.strings())
    if kind == "b":
        return _truth(raw, code, formula)
    if kind == "d":
        return _iso_date(raw, code, formula)
    if kind == "n":
        return _number(raw, code, formula, around)
    return CellValue("error", text=raw, number_format=code, formula=formula)


def _text(text: str, code: str, formula: str | None) -> CellValue:
    return CellValue("text" if text else "blank", text or None, text, code, formula)


def _shared(raw: str, code: str, formula: str | None, strings: list[str]) -> CellValue:
    number = int(raw) if raw.isascii() and raw.isdecimal() and len(raw) < 10 else -1
    if not 0 <= number < len(strings):
        return CellValue("error", text=f"text number {raw[:20]} is missing", number_format=code, formula=formula)
    return _text(strings[number], code, formula)


def _truth(raw: str, code: str, formula: str | None) -> CellValue:
    if raw.lower() not in ("0", "1", "true", "false"):
        return CellValue("error", text=raw, number_format=code, formula=formula)
    value = raw.lower() in ("1", "true")
    return CellValue("bool", value, "TRUE" if value else "FALSE", code, formula)


def _iso_date(raw: str, code: str, formula: str | None) -> CellValue:
    """Read a date that is written out, as the strict form does (ECMA-376-1, 18.18.11)."""
    try:
        moment = datetime.fromisoformat(raw)
    except ValueError:
        return CellValue("error", text=raw, number_format=code, formula=formula)
    value = moment.date() if moment.time() == time() else moment
    return CellValue("date", value, value.isoformat(), code, formula)


def _number(raw: str, code: str, formula: str | None, around: Surroundings) -> CellValue:
    number = plain_number(raw)
    if number is None:
        return CellValue("error", text=raw[:80], number_format=code, formula=formula)
    if around.formats.shows_date(code):
        moment = from_serial(number, around.system_1904)
        if moment is not None:
            return CellValue("date", moment, moment.isoformat(), code, formula, number)
    return CellValue("number", number, number_text(number), code, formula)


def plain_number(raw: str) -> float | None:
    """Read a number as formats write it; ``None`` for anything else, infinity and NaN among them."""
    if len(raw) > MAX_NUMBER_LENGTH or _NUMBER.fullmatch(raw) is None:
        return None
    number = float(raw)
    return number if math.isfinite(number) else None


def number_text(number: float) -> str:
    """Write a number as a person would: whole ones without a point, others in the shortest form that is exact."""
    return str(int(number)) if number.is_integer() and abs(number) < 1e15 else repr(number)
