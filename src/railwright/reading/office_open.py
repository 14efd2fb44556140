"""A workbook in the usual format, Office Open XML (.xlsx, .xlsm)."""

from __future__ import annotations

from lxml import etree

from railwright.reading.defined_names import NameTarget, read_names
from railwright.reading.formats import CellFormats
from railwright.reading.package import Package, find_workbook_part
from railwright.reading.recognise import SEND_AGAIN
from railwright.reading.safe_xml import namespace_of
from railwright.reading.sheet import Sheet, Surroundings, merged_areas
from railwright.reading.strings import shared_strings
from railwright.reading.unreadable import Unreadable
from railwright.reading.workbook_model import SheetEntry, Workbook

RELATIONSHIP_ID = (
    "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id",
    "{http://purl.oclc.org/ooxml/officeDocument/relationships}id",
)


class OfficeOpenWorkbook(Workbook):
    """An open workbook of the usual format; sheets are parsed when a cell of theirs is asked for first."""

    def __init__(self, package: Package) -> None:
        """Read the list of sheets and the names.

        Args:
            package: The open file.

        Raises:
            Unreadable: If the file is no workbook, or its list of sheets is damaged.
        """
        self.package = package
        self.part = find_workbook_part(package)
        self.root = root = package.xml(self.part)
        self.ns = namespace_of(root, self.part)
        self._links = package.relationships(self.part)
        self.sheets = _read_sheets(root, self.ns, self._worksheet_parts())
        if not self.sheets:
            raise Unreadable("The workbook has no sheet with cells.", SEND_AGAIN)
        self._entries = {entry.name: entry for entry in self.sheets}
        self._parsed: dict[str, Sheet] = {}
        self._roots: dict[str, etree._Element] = {}
        self._strings = _SharedStrings(package, self._part("sharedStrings"), self.ns)
        self._around: Surroundings | None = None
        self.system_1904 = _counts_from_1904(root, self.ns)

    def sheet(self, name: str) -> Sheet:
        """Parse a sheet, once.

        Args:
            name: Name of the sheet, as in ``sheets``.

        Returns:
            Its cells.

        Raises:
            Unreadable: If it is damaged or far too large.
        """
        if name not in self._parsed:
            self._parsed[name] = Sheet(self._sheet_root(name), name, self._surroundings())
        return self._parsed[name]

    def merges(self, sheet: str) -> list[tuple[int, int, int, int]]:
        """List the merged areas of a sheet without a look at its cells: most names on areas are lists for choosing."""
        return merged_areas(self._sheet_root(sheet), self.ns, sheet)

    def _sheet_root(self, name: str) -> etree._Element:
        if name not in self._roots:
            part = self._entries[name].part
            self._roots[name] = self.package.xml(part)
            namespace_of(self._roots[name], part)
        return self._roots[name]

    def read_names(self) -> dict[str, NameTarget]:
        """Read the defined names, areas included."""
        return read_names(self.root, self.ns, list(self._entries))

    def _surroundings(self) -> Surroundings:
        if self._around is None:
            styles = self._part("styles")
            root = None if styles is None else self.package.xml(styles)
            formats = CellFormats(root, self.ns)
            self._around = Surroundings(self.ns, self._strings.texts, formats, self.system_1904)
        return self._around

    def shared_strings(self) -> list[str]:
        """Give the texts that the cells share, read once."""
        return self._strings.texts()

    def _part(self, kind: str) -> str | None:
        for link in self._links:
            if link.kind == kind and not link.external and self.package.has(link.target):
                return link.target
        return None

    def _worksheet_parts(self) -> dict[str, str]:
        return {
            link.id: link.target
            for link in self._links
            if link.kind == "worksheet" and not link.external and self.package.has(link.target)
        }


class _SharedStrings:
    """The shared texts, read when first asked for.

    Apart from the workbook, so that no sheet holds on to the whole of it: a large one goes as soon as it is done with.
    """

    def __init__(self, package: Package, part: str | None, ns: str) -> None:
        self._package, self._part, self._ns = package, part, ns
        self._texts: list[str] | None = None

    def texts(self) -> list[str]:
        if self._texts is None:
            self._texts = shared_strings(self._package.xml(self._part), self._ns) if self._part else []
        return self._texts


def _read_sheets(root: etree._Element, ns: str, parts: dict[str, str]) -> list[SheetEntry]:
    """List the sheets with cells; chart sheets and dialogs have none and are left out."""
    entries = []
    for element in root.iterfind(f"{ns}sheets/{ns}sheet"):
        identity = next((element.get(key) for key in RELATIONSHIP_ID if element.get(key)), None)
        if identity in parts:
            hidden = element.get("state", "visible") != "visible"
            entries.append(SheetEntry(element.get("name", ""), parts[identity], "hidden" if hidden else "visible"))
    return entries


def _counts_from_1904(root: etree._Element, ns: str) -> bool:
    properties = root.find(ns + "workbookPr")
    return properties is not None and properties.get("date1904", "0") in ("1", "true", "on")
