"""A workbook in the OpenDocument format (.ods), part 3 of OASIS OpenDocument 1.3 and ISO/IEC 26300."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Literal

from lxml import etree

from railwright.reading import limits
from railwright.reading.addresses import address, parse_address, parse_range, whole_number
from railwright.reading.defined_names import DELETED, ELSEWHERE, NO_CELL, NameTarget
from railwright.reading.package import Package
from railwright.reading.recognise import REMOVE_PASSWORD, SEND_AGAIN
from railwright.reading.sheet import BLANK, CellValue, anchor_in, number_text, plain_number, too_many_cells
from railwright.reading.unreadable import Unreadable
from railwright.reading.workbook_model import SheetEntry, Workbook

OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
STYLE = "{urn:oasis:names:tc:opendocument:xmlns:style:1.0}"
CALC_EXTENSION = "{urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0}"

CONTENT = "content.xml"
CELL_TAGS = frozenset({TABLE + "table-cell", TABLE + "covered-table-cell"})
ROW_GROUPS = frozenset({TABLE + "table-row-group", TABLE + "table-header-rows", TABLE + "table-rows"})
_NO_TEXT = frozenset({OFFICE + "annotation", OFFICE + "annotation-end", TEXT + "note", TEXT + "ruby-text"})

_DURATION = re.compile(r"PT(?:(\d{1,8})H)?(?:(\d{1,8})M)?(?:(\d{1,8}(?:\.\d{1,12})?)S)?", re.ASCII)
_REFERENCE = re.compile(
    r"\$?(?:'((?:[^']|'')+)'|([^'.:$\s]+))\.(\$?[A-Za-z]{1,3}\$?\d{1,7})"
    r"(?::(?:\$?(?:'(?:[^']|'')+'|[^'.:$\s]+)?\.)?(\$?[A-Za-z]{1,3}\$?\d{1,7}))?",
    re.ASCII,
)

DAY_ZERO = date(1899, 12, 30)
"""Day 0 of date numbers from 1 March 1900 on; dates are written out in this format, so the number is only derived."""


def is_open_document(package: Package) -> bool:
    """Tell whether a package is an OpenDocument spreadsheet."""
    kind = package.by_key.get("mimetype")
    if kind is None or kind.unpacked > 200 or not package.has(CONTENT):
        return False
    return b"opendocument.spreadsheet" in package.read("mimetype")


class OpenDocumentWorkbook(Workbook):
    """An open OpenDocument spreadsheet. All its sheets are in one part."""

    part = CONTENT
    system_1904 = False

    def __init__(self, package: Package) -> None:
        """Parse the content and list the sheets.

        Args:
            package: The open file.

        Raises:
            Unreadable: If the content is protected by a password, damaged or too large.
        """
        self.package = package
        if package.has("META-INF/manifest.xml") and b"encryption-data" in package.read("META-INF/manifest.xml"):
            raise Unreadable("The workbook is protected by a password, so nothing in it can be read.", REMOVE_PASSWORD)
        self.root = package.xml(CONTENT)
        body = self.root.find(f"{OFFICE}body/{OFFICE}spreadsheet")
        if body is None:
            raise Unreadable("The workbook is damaged: it has no sheets.", SEND_AGAIN)
        self.body = body
        self._tables = {table.get(TABLE + "name", ""): table for table in body.iterchildren(TABLE + "table")}
        hidden = _hidden_styles(self.root)
        self.sheets = [SheetEntry(name, CONTENT, _state(table, hidden)) for name, table in self._tables.items()]
        self._parsed: dict[str, OpenDocumentSheet] = {}

    def sheet(self, name: str) -> OpenDocumentSheet:
        """Give the cells of a sheet by its name, as in ``sheets``.

        Args:
            name: The name.

        Returns:
            The cells.

        Raises:
            Unreadable: If it has far too many cells.
        """
        if name not in self._parsed:
            self._parsed[name] = OpenDocumentSheet(self._tables[name], name)
        return self._parsed[name]

    def read_names(self) -> dict[str, NameTarget]:
        """Read the names of the whole workbook, and those of one sheet that no other sheet has.

        Returns:
            The targets by name.

        Raises:
            Unreadable: If there are more names than any workbook needs.
        """
        by_folded = {name.casefold(): name for name in self._tables}
        wide = _names_in(self.body, by_folded)
        local: dict[str, list[NameTarget]] = {}
        for table in self._tables.values():
            for name, target in _names_in(table, by_folded).items():
                local.setdefault(name, []).append(target)
        return {name: targets[0] for name, targets in local.items() if len(targets) == 1} | wide


class OpenDocumentSheet:
    """The cells of one sheet; runs of equal cells are written once in the file, with a count."""

    def __init__(self, table: etree._Element, name: str) -> None:
        """Index the cells that hold something.

        Args:
            table: The table element.
            name: Name of the sheet, for messages.

        Raises:
            Unreadable: If it has far too many cells.
        """
        self.name = name
        self._elements: dict[tuple[int, int], etree._Element] = {}
        self.merges: list[tuple[int, int, int, int]] = []
        for row, column, rows, columns, cell in runs(table):
            if len(cell) or cell.get(OFFICE + "value-type") or cell.get(TABLE + "formula"):
                self._take(row, column, rows, columns, cell)
            down, right = run_length(cell, "number-rows-spanned"), run_length(cell, "number-columns-spanned")
            if down > 1 or right > 1:
                self.merges.append((row, column, row + down - 1, column + right - 1))
        if len(self.merges) > limits.MAX_MERGES:
            raise too_many_cells(name)

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
        return BLANK if element is None else read_cell(element)

    def cells(self) -> Iterator[tuple[str, CellValue]]:
        """Go through the cells that are not blank, row by row."""
        for place in sorted(self._elements):
            value = read_cell(self._elements[place])
            if value.kind != "blank":
                yield address(*place), value

    def anchor(self, row: int, column: int) -> tuple[int, int]:
        """Give the top left cell of the merged area around a cell, or the cell itself."""
        return anchor_in(self.merges, (row, column))

    def _take(self, row: int, column: int, rows: int, columns: int, cell: etree._Element) -> None:
        if rows * columns + len(self._elements) > limits.MAX_CELLS:
            raise too_many_cells(self.name)
        if row + rows - 1 > limits.LAST_ROW or column + columns - 1 > limits.LAST_COLUMN:
            raise Unreadable(f"The workbook is damaged: sheet {self.name!r} has cells beyond its edge.", SEND_AGAIN)
        for place in ((row + down, column + right) for down in range(rows) for right in range(columns)):
            self._elements[place] = cell


def rows_of(parent: etree._Element) -> Iterator[etree._Element]:
    """Go through the row elements of a table, inside groups and headers too."""
    for child in parent:
        if child.tag == TABLE + "table-row":
            yield child
        elif child.tag in ROW_GROUPS:
            yield from rows_of(child)


def runs(table: etree._Element) -> Iterator[tuple[int, int, int, int, etree._Element]]:
    """Go through the cell elements of a table.

    Args:
        table: The table element.

    Yields:
        Row and column from 1, for how many rows and columns the element stands, and the element.
    """
    row = 1
    for element in rows_of(table):
        rows = run_length(element, "number-rows-repeated")
        column = 1
        for cell in element:
            if cell.tag in CELL_TAGS:
                columns = run_length(cell, "number-columns-repeated")
                yield row, column, rows, columns, cell
                column += columns
        row += rows


def run_length(element: etree._Element, attribute: str) -> int:
    """Tell for how many rows or columns an element stands; one where the file says nothing that makes sense."""
    return max(whole_number(element.get(TABLE + attribute), 1), 1)


def read_cell(cell: etree._Element) -> CellValue:
    """Understand one cell element.

    Args:
        cell: The element.

    Returns:
        Its content. OpenDocument writes dates out, so that ``serial`` is derived, and ``number_format`` tells dates,
        times and percentages from plain numbers, but not how many places are shown.
    """
    formula = cell.get(TABLE + "formula")
    if formula is not None:
        formula = formula.partition(":=")[2] or formula.removeprefix("=")
    kind = cell.get(OFFICE + "value-type", "")
    text = cell_text(cell)
    if cell.get(CALC_EXTENSION + "value-type") == "error":
        return CellValue("error", text=text, formula=formula)
    if kind in ("float", "currency", "percentage"):
        return _number(cell.get(OFFICE + "value", ""), "0%" if kind == "percentage" else "General", formula)
    if kind == "date":
        return _date(cell.get(OFFICE + "date-value", ""), formula)
    if kind == "time":
        return _time(cell.get(OFFICE + "time-value", ""), formula)
    if kind == "boolean":
        return _truth(cell.get(OFFICE + "boolean-value", ""), formula)
    if formula is not None and not kind:
        return CellValue("formula_without_result", formula=formula)
    text = cell.get(OFFICE + "string-value") or text
    return CellValue("text" if text else "blank", text or None, text, formula=formula)


def _number(raw: str, code: str, formula: str | None) -> CellValue:
    number = plain_number(raw)
    if number is None:
        return CellValue("error", text=raw[:80], number_format=code, formula=formula)
    return CellValue("number", number, number_text(number), code, formula)


def _truth(raw: str, formula: str | None) -> CellValue:
    if raw not in ("true", "false"):
        return CellValue("error", text=raw[:80], formula=formula)
    return CellValue("bool", raw == "true", raw.upper(), formula=formula)


def _date(raw: str, formula: str | None) -> CellValue:
    try:
        moment = datetime.fromisoformat(raw)
    except ValueError:
        return CellValue("error", text=raw[:80], formula=formula)
    value = moment.date() if moment.time() == time() else moment
    since = moment.replace(tzinfo=None) - datetime.combine(DAY_ZERO, time())
    code = "yyyy-mm-dd" if moment.time() == time() else "yyyy-mm-dd hh:mm"
    return CellValue("date", value, value.isoformat(), code, formula, since.total_seconds() / 86_400)


def _time(raw: str, formula: str | None) -> CellValue:
    """Read a duration such as ``PT06H30M00S``; within a day it is shown as a time."""
    found = _DURATION.fullmatch(raw)
    if found is None:
        return CellValue("error", text=raw[:80], formula=formula)
    hours, minutes, seconds = (float(part or 0) for part in found.groups())
    total = hours * 3600 + minutes * 60 + seconds
    if total >= 86_400:
        return CellValue("number", total / 86_400, number_text(total / 86_400), "[h]:mm:ss", formula)
    clock = time(int(total) // 3600, int(total) // 60 % 60, int(total) % 60)
    return CellValue("date", clock, clock.isoformat(), "h:mm:ss", formula, total / 86_400)


def cell_text(cell: etree._Element) -> str:
    """Join the paragraphs of a cell; notes that hang on it are no part of its text."""
    return "\n".join(paragraph_text(child) for child in cell if child.tag == TEXT + "p")


def paragraph_text(element: etree._Element) -> str:
    """Give the text of a paragraph with its runs, blanks, tabs and line breaks."""
    pieces = [element.text or ""]
    for child in element:
        if child.tag == TEXT + "s":
            pieces.append(" " * min(whole_number(child.get(TEXT + "c"), 1), limits.MAX_BLANKS))
        elif child.tag == TEXT + "tab":
            pieces.append("\t")
        elif child.tag == TEXT + "line-break":
            pieces.append("\n")
        elif isinstance(child.tag, str) and child.tag not in _NO_TEXT:
            pieces.append(paragraph_text(child))
        pieces.append(child.tail or "")
    return "".join(pieces)


def _names_in(parent: etree._Element, sheets: dict[str, str]) -> dict[str, NameTarget]:
    group = parent.find(TABLE + "named-expressions")
    elements = [] if group is None else list(group)
    if len(elements) > limits.MAX_NAMES:
        raise Unreadable(f"The workbook defines {len(elements)} names, which a survey never does.", SEND_AGAIN)
    found = {}
    for element in elements:
        if element.tag == TABLE + "named-range":
            found[element.get(TABLE + "name", "")] = read_target(element.get(TABLE + "cell-range-address", ""), sheets)
        elif element.tag == TABLE + "named-expression":
            found[element.get(TABLE + "name", "")] = NO_CELL
    return found


def read_target(reference: str, sheets: dict[str, str]) -> NameTarget:
    """Read what a named range refers to.

    Args:
        reference: Such as ``$'S 1'.$B$3`` or ``$Plain.$B$3:.$C$4``.
        sheets: The sheet names by their case-folded form.

    Returns:
        The cell, or the reason why there is none.
    """
    if "#REF!" in reference.upper():
        return DELETED
    found = _REFERENCE.fullmatch(reference.strip())
    if found is None:
        return ELSEWHERE if "'#" in reference else NO_CELL
    quoted, plain, first, last = found.groups()
    sheet = plain or (quoted or "").replace("''", "'")
    area = parse_range(f"{first}:{last}" if last else first)
    known = sheets.get(sheet.casefold())
    if area is None:
        return NO_CELL
    if known is None:
        return NameTarget("", "", "", f"its sheet {sheet!r} is missing")
    whole = f"{address(*area[:2])}:{address(*area[2:])}" if area[:2] != area[2:] else ""
    return NameTarget(known, address(*area[:2]), whole)


def _hidden_styles(root: etree._Element) -> set[str]:
    """Find the table styles that hide their sheet."""
    styles = root.iterfind(f"{OFFICE}automatic-styles/{STYLE}style")
    return {
        style.get(STYLE + "name", "")
        for style in styles
        if any(part.get(TABLE + "display") == "false" for part in style.iterchildren(STYLE + "table-properties"))
    }


def _state(table: etree._Element, hidden: set[str]) -> Literal["visible", "hidden"]:
    return "hidden" if table.get(TABLE + "style-name", "") in hidden else "visible"
