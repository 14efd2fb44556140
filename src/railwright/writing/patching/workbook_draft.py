"""Changing the workbook part: its names and its list of sheets."""

from __future__ import annotations

from lxml import etree

from railwright.reading.addresses import address, column_letters, parse_address, whole_number
from railwright.reading.defined_names import read_target
from railwright.reading.office_open import OfficeOpenWorkbook
from railwright.reading.workbook_model import SheetEntry
from railwright.writing.patching.draft import Draft, child_in_order
from railwright.writing.patching.marks import FINDINGS_NAME, FLAG_NAME
from railwright.writing.patching.planning import Place
from railwright.writing.patching.sheet_draft import SheetDraft
from railwright.writing.patching.styles import Styles

SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
FINDINGS_TITLE = "Findings"

_ORDER = (
    "fileVersion", "fileSharing", "workbookPr", "workbookProtection", "bookViews", "sheets", "functionGroups",
    "externalReferences", "definedNames", "calcPr", "oleSize", "customWorkbookViews", "pivotCaches", "smartTagPr",
    "smartTagTypes", "webPublishing", "fileRecoveryPr", "webPublishObjects", "extLst",
)  # fmt: skip


class WorkbookDraft:
    """A workbook that is being flagged."""

    def __init__(self, book: OfficeOpenWorkbook) -> None:
        """Take over the workbook part for changes.

        Args:
            book: The open source.
        """
        self._book = book
        self.part = self._book.part
        self.root, self.ns = self._book.root, self._book.ns
        self.draft = Draft(book.package, self.ns)
        self.draft.adopt(self.part, self.root)
        self.sheets = list(self._book.sheets)
        self._folded = {entry.name.casefold(): entry.name for entry in self.sheets}
        self._drafts: dict[str, SheetDraft] = {}
        self._styles: Styles | None = None

    @property
    def styles(self) -> Styles:
        """The styles part, opened when first needed."""
        if self._styles is None:
            self._styles = Styles(self.draft, self.part)
        return self._styles

    def strings(self) -> list[str]:
        """Give the texts that the cells share."""
        return self._book.shared_strings()

    def has_window(self) -> bool:
        """Tell whether the workbook describes a window, to which the view of a sheet must refer."""
        return self.root.find(f"{self.ns}bookViews/{self.ns}workbookView") is not None

    def find_sheet(self, name: str) -> str | None:
        """Give a sheet's name as the workbook writes it, or ``None``; capitals do not matter."""
        return self._folded.get(name.casefold())

    def sheet(self, name: str) -> SheetDraft:
        """Open a sheet for changes, once.

        Args:
            name: As the workbook writes it.

        Returns:
            The sheet.

        Raises:
            Unreadable: If the sheet is damaged or far too large.
        """
        if name not in self._drafts:
            entry = next(entry for entry in self.sheets if entry.name == name)
            self._drafts[name] = SheetDraft(self.draft, entry)
        return self._drafts[name]

    def anchor(self, sheet: str, place: Place) -> Place:
        """Give the top left cell of the merged area around a cell, or the cell itself."""
        return self.sheet(sheet).anchor(place)

    def our_names(self) -> list[tuple[str, str, Place | None]]:
        """List our names with sheet and cell; a name whose cell was deleted has an empty sheet and no cell."""
        found = []
        for element in self._name_elements():
            target = read_target(element.text or "", self._folded)
            found.append((element.get("name", ""), target.sheet, parse_address(target.cell)))
        return found

    def remove_our_names(self) -> None:
        """Take our names out of the workbook."""
        for element in self._name_elements():
            parent = element.getparent()
            if parent is not None:
                parent.remove(element)
                self.draft.touch(self.part)
        group = self.root.find(self.ns + "definedNames")
        if group is not None and not len(group):
            self.root.remove(group)

    def add_name(self, name: str, sheet: str, place: Place) -> None:
        """Add a hidden name for one cell."""
        group = child_in_order(self.root, self.ns, "definedNames", _ORDER)
        element = etree.SubElement(group, self.ns + "definedName", name=name, hidden="1")
        element.text = f"{quoted(sheet)}!${column_letters(place[1])}${place[0]}"
        self.draft.touch(self.part)

    def add_sheet(self) -> SheetEntry:
        """Add an entry for a sheet of findings at the end of the list.

        Returns:
            The entry; its part is still to be put.
        """
        part = self.draft.free_name("xl/worksheets/sheet{}.xml")
        group = child_in_order(self.root, self.ns, "sheets", _ORDER)
        numbers = [whole_number(sheet.get("sheetId")) for sheet in group]
        element = etree.SubElement(group, self.ns + "sheet")
        element.set("name", self._free_title())
        element.set("sheetId", str(max(numbers, default=0) + 1))
        element.set(f"{{{self.draft.r_namespace}}}id", self.draft.link(self.part, "worksheet", part))
        self.draft.declare(part, SHEET_TYPE)
        self.draft.touch(self.part)
        entry = SheetEntry(element.get("name", ""), part, "visible")
        self.sheets.append(entry)
        return entry

    def _free_title(self) -> str:
        title, number = FINDINGS_TITLE, 1
        elements = self.root.iterfind(f"{self.ns}sheets/{self.ns}sheet")
        taken = {element.get("name", "").casefold() for element in elements}
        while title.casefold() in taken:
            number += 1
            title = f"{FINDINGS_TITLE} ({number})"
        return title

    def _name_elements(self) -> list[etree._Element]:
        elements = self.root.iterfind(f"{self.ns}definedNames/{self.ns}definedName")
        return [element for element in elements if element.get("name", "").startswith((FLAG_NAME, FINDINGS_NAME))]


def quoted(sheet: str) -> str:
    """Write a sheet name as a reference needs it; quotes are always allowed."""
    return "'" + sheet.replace("'", "''") + "'"


def location(sheet: str, place: Place) -> str:
    """Write where a cell is, as the target of a link inside the workbook."""
    return f"{quoted(sheet)}!{address(*place)}"
