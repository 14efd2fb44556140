"""Changing cells of one sheet part and leaving the rest of it as it is."""

from __future__ import annotations

from lxml import etree

from railwright.reading.addresses import address, parse_address, parse_range, whole_number
from railwright.reading.safe_xml import namespace_of
from railwright.reading.sheet import anchor_in, merged_areas, placed_cells
from railwright.reading.strings import joined_text
from railwright.reading.workbook_model import SheetEntry
from railwright.writing.patching.draft import Draft
from railwright.writing.patching.planning import Place
from railwright.writing.patching.text import add_text

WORKSHEET_ORDER = (
    "sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "sheetCalcPr", "sheetProtection",
    "protectedRanges", "scenarios", "autoFilter", "sortState", "dataConsolidate", "customSheetViews", "mergeCells",
    "phoneticPr", "conditionalFormatting", "dataValidations", "hyperlinks", "printOptions", "pageMargins",
    "pageSetup", "headerFooter", "rowBreaks", "colBreaks", "customProperties", "cellWatches", "ignoredErrors",
    "smartTags", "drawing", "legacyDrawing", "legacyDrawingHF", "drawingHF", "picture", "oleObjects", "controls",
    "webPublishItems", "tableParts", "extLst",
)  # fmt: skip
"""Children of a worksheet in the order of its schema (ECMA-376-1, 18.3.1.99)."""


class SheetDraft:
    """One sheet of a draft; nothing is written unless something was changed."""

    def __init__(self, draft: Draft, entry: SheetEntry) -> None:
        """Parse the sheet.

        Args:
            draft: The package.
            entry: Name and part of the sheet.

        Raises:
            Unreadable: If it is damaged or far too large.
        """
        self.draft, self.part, self.name = draft, entry.part, entry.name
        self.root = draft.xml(entry.part)
        self.ns = namespace_of(self.root, entry.part)
        self._cells = placed_cells(self.root, self.ns, entry.name)
        self._merges = merged_areas(self.root, self.ns, entry.name)
        self._rows: dict[int, etree._Element] | None = None

    def places(self) -> list[Place]:
        """List the cells that are written, as row and column."""
        return list(self._cells)

    def anchor(self, place: Place) -> Place:
        """Give the top left cell of the merged area around a cell, or the cell itself."""
        return anchor_in(self._merges, place)

    def style(self, place: Place) -> int:
        """Give the style number that a cell shows: its own, or that of its row or column."""
        cell = self._cells.get(place)
        if cell is not None:
            return whole_number(cell.get("s"))
        row = self._row(place[0])
        if row is not None and row.get("customFormat") in ("1", "true"):
            return whole_number(row.get("s"))
        for column in self.root.iterfind(f"{self.ns}cols/{self.ns}col"):
            if whole_number(column.get("min")) <= place[1] <= whole_number(column.get("max")):
                return whole_number(column.get("style"))
        return 0

    def set_style(self, place: Place, style: int) -> None:
        """Give a cell another style; a cell that was never written comes into being blank."""
        self._cell(place).set("s", str(style))
        self.touch()

    def text(self, place: Place, strings: list[str]) -> str | None:
        """Give the typed text of a cell.

        Args:
            place: Row and column.
            strings: The shared strings of the workbook.

        Returns:
            The text; empty for a blank cell; ``None`` for a cell that holds anything else.
        """
        cell = self._cells.get(place)
        if cell is None:
            return ""
        if cell.find(self.ns + "f") is not None:
            return None
        item, value = cell.find(self.ns + "is"), cell.find(self.ns + "v")
        if item is not None:
            return joined_text(item, self.ns)
        raw = "" if value is None else (value.text or "").strip()
        if cell.get("t") == "s":
            number = whole_number(raw, -1)
            return strings[number] if 0 <= number < len(strings) else None
        return None if raw else ""

    def set_text(self, place: Place, text: str) -> None:
        """Write a text into a cell, as text whatever it begins with; its style stays."""
        style = self.style(place)
        cell = self._cell(place)
        self._empty(cell)
        if style:
            cell.set("s", str(style))
        cell.set("t", "inlineStr")
        item = etree.SubElement(cell, self.ns + "is")
        add_text(item, self.ns, text)
        self.touch()

    def clear(self, place: Place) -> None:
        """Make a cell blank; its style stays."""
        self._empty(self._cells[place])
        self.touch()

    def touch(self) -> None:
        """Have the sheet written again."""
        self.draft.touch(self.part)

    def _empty(self, cell: etree._Element) -> None:
        _forget(cell, "t")
        for child in list(cell):
            cell.remove(child)

    def _row(self, number: int) -> etree._Element | None:
        return self._numbered_rows().get(number)

    def _numbered_rows(self) -> dict[int, etree._Element]:
        """Number the rows once, and write out numbers that were left to counting.

        An inserted row would shift that count.
        """
        if self._rows is None:
            self._rows, number = {}, 0
            for row in self.root.iterfind(f"{self.ns}sheetData/{self.ns}row"):
                number = whole_number(row.get("r")) or number + 1
                if row.get("r") is None:
                    row.set("r", str(number))
                self._rows.setdefault(number, row)
        return self._rows

    def _cell(self, place: Place) -> etree._Element:
        """Find a cell, or put a blank one in its place among its neighbours."""
        if place in self._cells:
            return self._cells[place]
        style = self.style(place)
        row = self._row(place[0])
        if row is None:
            row = self._new_row(place[0])
        # The hint about first and last column need not be there, and would now be wrong.
        _forget(row, "spans")
        cell = etree.Element(self.ns + "c", r=address(*place))
        if style:
            cell.set("s", str(style))
        row.insert(self._index_in_row(row, place), cell)
        self._cells[place] = cell
        self._widen_dimension(place)
        return cell

    def _index_in_row(self, row: etree._Element, place: Place) -> int:
        """Find where a new cell belongs, and write out addresses that were left to counting."""
        column, index = 0, 0
        for at, cell in enumerate(row, start=1):
            if cell.tag != self.ns + "c":
                continue
            written = parse_address(cell.get("r", ""))
            column = written[1] if written else column + 1
            if written is None:
                cell.set("r", address(place[0], column))
            if column < place[1]:
                index = at
        return index

    def _new_row(self, number: int) -> etree._Element:
        data = self.root.find(self.ns + "sheetData")
        if data is None:
            raise ValueError(f"sheet {self.name!r} has no cells")
        row = etree.Element(self.ns + "row", r=str(number))
        rows = self._numbered_rows()
        before = max((known for known in rows if known < number), default=0)
        data.insert(data.index(rows[before]) + 1 if before else 0, row)
        rows[number] = row
        return row

    def _widen_dimension(self, place: Place) -> None:
        """Keep the stated size of the sheet true, because some readers stop where it ends."""
        element = self.root.find(self.ns + "dimension")
        area = None if element is None else parse_range(element.get("ref", ""))
        if element is None or area is None:
            return
        top, left, bottom, right = area
        row, column = place
        widened = (min(top, row), min(left, column), max(bottom, row), max(right, column))
        if widened != area:
            element.set("ref", f"{address(*widened[:2])}:{address(*widened[2:])}")


def _forget(element: etree._Element, attribute: str) -> None:
    if element.get(attribute) is not None:
        del element.attrib[attribute]
