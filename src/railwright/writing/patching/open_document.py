"""Flagging an OpenDocument spreadsheet (.ods). All that must change is in one part, its content.

The marks are those of the other format: a fill, a note, a remark, a named range for each flagged cell, and a list whose
hidden column wears the former styles.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import deepcopy

from lxml import etree

from railwright.reading.addresses import column_letters, parse_address
from railwright.reading.open_document import (
    CALC_EXTENSION,
    CELL_TAGS,
    CONTENT,
    OFFICE,
    TABLE,
    TEXT,
    OpenDocumentWorkbook,
    cell_text,
    paragraph_text,
    read_target,
    rows_of,
    run_length,
)
from railwright.writing.patching.flags import WORDS, FindingsSheet, Flag
from railwright.writing.patching.marks import (
    AUTHOR,
    FINDINGS_NAME,
    FLAG_NAME,
    MARK,
    is_ours,
    our_spans,
    without_spans,
)
from railwright.writing.patching.office_open import SIGNED, Changes, no_remark
from railwright.writing.patching.open_document_styles import OpenDocumentStyles
from railwright.writing.patching.planning import Marked, Place, plan_flags
from railwright.writing.patching.text import clean_text
from railwright.writing.patching.unflag import fills_lost

DC = "{http://purl.org/dc/elements/1.1/}"
ANNOTATION = OFFICE + "annotation"
COLUMNS = (("Severity", "2.2cm"), ("Sheet", "3.5cm"), ("Cell", "1.8cm"), ("Field", "7cm"), ("What to do", "18cm"))
FIRST_ROW = 4
PARKING = 26


def flag_open_document(
    workbook: OpenDocumentWorkbook, flags: Sequence[Flag], sheet_rows: FindingsSheet
) -> tuple[Changes, list[str]]:
    """Flag an OpenDocument spreadsheet.

    Args:
        workbook: The open workbook, which is changed.
        flags: The cells to mark.
        sheet_rows: The findings to list.

    Returns:
        The one part to write anew, and sentences about what could not be kept or written.

    Raises:
        Unreadable: If the source is no workbook that can be read.
    """
    book = OpenDocumentDraft(workbook)
    problems = [SIGNED] if workbook.package.has("META-INF/documentsignatures.xml") else []
    title = book.take_out_old(problems)
    plan = plan_flags(book, flags)
    problems += plan.problems
    parked = _mark(book, plan.marked)
    for (sheet, place), text in plan.remark_texts().items():
        if not book.write_remark(sheet, place, text):
            problems.append(no_remark(sheet, place))
    book.put_findings(title, sheet_rows, parked)
    return {CONTENT: etree.tostring(book.root.getroottree(), xml_declaration=True, encoding="UTF-8")}, problems


def _mark(book: OpenDocumentDraft, marked: Marked) -> dict[str, str]:
    """Fill the flagged cells, note them and name them; give their former styles by those names."""
    parked: dict[str, str] = {}
    for sheet, cells in marked.items():
        for place in sorted(cells):
            name = f"{FLAG_NAME}{len(parked) + 1}"
            parked[name] = book.fill(sheet, place, cells[place].flags[0])
            if lines := cells[place].lines():
                _add_note(book.cell(sheet, place), lines)
            book.add_name(name, sheet, place)
    return parked


class OpenDocumentDraft:
    """An OpenDocument spreadsheet that is being flagged."""

    def __init__(self, book: OpenDocumentWorkbook) -> None:
        """Take over the content for changes.

        Args:
            book: The open source.
        """
        self._book = book
        self.root, self._body = self._book.root, self._book.body
        self.styles = OpenDocumentStyles(self.root)
        self._folded = {entry.name.casefold(): entry.name for entry in self._book.sheets}
        self._cells: dict[tuple[str, Place], etree._Element] = {}

    def find_sheet(self, name: str) -> str | None:
        """Give a sheet's name as the workbook writes it, or ``None``; capitals do not matter."""
        return self._folded.get(name.casefold())

    def anchor(self, sheet: str, place: Place) -> Place:
        """Give the top left cell of the merged area around a cell, or the cell itself."""
        return self._book.sheet(sheet).anchor(*place)

    def cell(self, sheet: str, place: Place) -> etree._Element:
        """Give the element of one cell, cut out of the run of equal cells that it was part of."""
        key = (sheet, place)
        if key not in self._cells:
            row = _single(list(rows_of(self._table(sheet))), place[0], "rows", self._table(sheet))
            self._cells[key] = _single([c for c in row if c.tag in CELL_TAGS], place[1], "columns", row)
        return self._cells[key]

    def fill(self, sheet: str, place: Place, flag: Flag) -> str:
        """Fill a cell with the colour of a flag and give the name of its former style, empty for none."""
        cell = self.cell(sheet, place)
        former = self.styles.shown(self._table(sheet), cell, place[1])
        cell.set(TABLE + "style-name", self.styles.flagged(former, flag.severity))
        return former

    def write_remark(self, sheet: str, place: Place, text: str) -> bool:
        """Write a remark into a blank cell; tell whether it was blank."""
        cell = self.cell(sheet, place)
        if cell_text(cell) or cell.get(OFFICE + "value-type") or cell.get(TABLE + "formula"):
            return False
        _set_text(cell, text)
        return True

    def add_name(self, name: str, sheet: str, place: Place) -> None:
        """Add a named range for one cell."""
        quoted = "$'" + sheet.replace("'", "''") + "'"
        element = etree.SubElement(self._names(), TABLE + "named-range")
        element.set(TABLE + "name", name)
        element.set(TABLE + "base-cell-address", f"{quoted}.$A$1")
        element.set(TABLE + "cell-range-address", f"{quoted}.${column_letters(place[1])}${place[0]}")

    def take_out_old(self, problems: list[str]) -> str:
        """Take the flags of an earlier run out.

        Args:
            problems: Sentences about what could not be kept are added to it.

        Returns:
            Name of the old list of findings, empty where there is none; the list itself is gone.
        """
        ours = self._our_names()
        title = next((sheet for name, sheet, _ in ours if name == FINDINGS_NAME), "")
        parked = self._parked(title) if title else {}
        if title:
            problems += self._answers(title)
            self._body.remove(self._table(title))
        names = {(sheet, place): name for name, sheet, place in ours if place}
        lost = sum(self._unfill(sheet, names, parked) for sheet in self._sheets_but(title))
        problems += fills_lost(lost)
        for sheet in self._sheets_but(title):
            _unmark(self._table(sheet))
        self._forget_names()
        return title

    def put_findings(self, title: str, content: FindingsSheet, parked: dict[str, str]) -> None:
        """Add the list of findings behind the last sheet.

        Args:
            title: Its name, empty for the first free one.
            content: Heading and lines.
            parked: The former styles of flagged cells, by the names of the flags.
        """
        title = title or self._free_title()
        table = etree.Element(TABLE + "table", {TABLE + "name": title})
        for _, width in COLUMNS:
            etree.SubElement(table, TABLE + "table-column", {TABLE + "style-name": self.styles.column(width)})
        blank = {TABLE + "number-columns-repeated": str(PARKING - len(COLUMNS) - 1)}
        etree.SubElement(table, TABLE + "table-column", blank)
        etree.SubElement(table, TABLE + "table-column", {TABLE + "visibility": "collapse"})
        for texts, styles, name in _lines(self.styles, content, list(parked)):
            _add_row(table, texts, styles, name, parked.get(name, ""))
        self._after_tables(table)
        self.add_name(FINDINGS_NAME, title, (1, 1))

    def _table(self, sheet: str) -> etree._Element:
        tables = self._body.iterchildren(TABLE + "table")
        return next(table for table in tables if table.get(TABLE + "name", "") == sheet)

    def _sheets_but(self, title: str) -> list[str]:
        return [entry.name for entry in self._book.sheets if entry.name != title]

    def _our_names(self) -> list[tuple[str, str, Place | None]]:
        found = []
        for element in self._body.iter(TABLE + "named-range"):
            name = element.get(TABLE + "name", "")
            if name.startswith((FLAG_NAME, FINDINGS_NAME)):
                target = read_target(element.get(TABLE + "cell-range-address", ""), self._folded)
                found.append((name, target.sheet, parse_address(target.cell)))
        return found

    def _forget_names(self) -> None:
        for element in list(self._body.iter(TABLE + "named-range")):
            parent = element.getparent()
            if parent is not None and element.get(TABLE + "name", "").startswith((FLAG_NAME, FINDINGS_NAME)):
                parent.remove(element)

    def _parked(self, title: str) -> dict[str, str]:
        found = {}
        for row in rows_of(self._table(title)):
            for cell in row:
                text = cell_text(cell) if cell.tag in CELL_TAGS else ""
                if text.startswith(FLAG_NAME):
                    found[text] = cell.get(TABLE + "style-name", "")
        return found

    def _answers(self, title: str) -> list[str]:
        sentences = []
        for ref, value in self._book.cells(title):
            place = parse_address(ref)
            if place is not None and len(COLUMNS) < place[1] != PARKING:
                sentences.append(f"Sheet {title!r} held an answer in {ref}: {value.text[:500]!r}.")
        return sentences

    def _unfill(self, sheet: str, names: dict[tuple[str, Place], str], parked: dict[str, str]) -> int:
        """Give flagged cells of a sheet their former style; tell for how many it could not be had."""
        lost = 0
        for (where, place), name in names.items():
            if where == sheet and name in parked:
                cell = self.cell(sheet, place)
                if self.styles.is_flagged(cell.get(TABLE + "style-name", "")):
                    _set_style(cell, parked[name])
        for row in rows_of(self._table(sheet)):
            for cell in row:
                if self.styles.is_flagged(cell.get(TABLE + "style-name", "")):
                    _set_style(cell, self.styles.without_fill(cell.get(TABLE + "style-name", "")))
                    lost += 1
        return lost

    def _names(self) -> etree._Element:
        group = self._body.find(TABLE + "named-expressions")
        if group is None:
            group = etree.Element(TABLE + "named-expressions")
            self._after_tables(group)
        return group

    def _after_tables(self, element: etree._Element) -> None:
        tables = self._body.findall(TABLE + "table")
        self._body.insert(self._body.index(tables[-1]) + 1 if tables else len(self._body), element)

    def _free_title(self) -> str:
        title, number = "Findings", 1
        while title.casefold() in self._folded:
            number += 1
            title = f"Findings ({number})"
        return title


def _single(elements: list[etree._Element], number: int, what: str, parent: etree._Element) -> etree._Element:
    """Find the row or cell of a number, cutting a run of equal ones apart, or adding to the end of the list."""
    attribute = f"{TABLE}number-{what}-repeated"
    at = 1
    for element in elements:
        count = run_length(element, f"number-{what}-repeated")
        if at + count > number:
            return _cut(element, attribute, number - at, count)
        at += count
    new = etree.SubElement(parent, TABLE + ("table-row" if what == "rows" else "table-cell"))
    return _cut(new, attribute, number - at, number - at + 1)


def _cut(element: etree._Element, attribute: str, before: int, count: int) -> etree._Element:
    """Cut one out of a run: those before it and those behind it become runs of their own."""
    behind = count - before - 1
    if behind:
        element.addnext(_run(element, attribute, behind))
    if before:
        element.addprevious(_run(element, attribute, before))
    if element.get(attribute) is not None:
        del element.attrib[attribute]
    return element


def _run(element: etree._Element, attribute: str, count: int) -> etree._Element:
    copy = deepcopy(element)
    copy.tail = None
    copy.set(attribute, str(count))
    return copy


def _set_style(cell: etree._Element, style: str) -> None:
    if style:
        cell.set(TABLE + "style-name", style)
    elif cell.get(TABLE + "style-name") is not None:
        del cell.attrib[TABLE + "style-name"]


def _set_text(cell: etree._Element, text: str) -> None:
    cell.set(OFFICE + "value-type", "string")
    _add_paragraphs(cell, text.split("\n"))


def _add_paragraphs(parent: etree._Element, lines: Sequence[str]) -> None:
    for line in lines:
        paragraph = etree.SubElement(parent, TEXT + "p")
        # Blanks in a row count as one in this format, and at the ends of a paragraph as none.
        paragraph.text = " ".join(clean_text(line).split())


def _add_note(cell: etree._Element, lines: Sequence[str]) -> None:
    """Add our lines to the note of a cell, or begin one."""
    note = cell.find(ANNOTATION)
    if note is None:
        note = etree.Element(ANNOTATION)
        etree.SubElement(note, DC + "creator").text = AUTHOR
        cell.insert(0, note)
    _add_paragraphs(note, lines)


def _unmark(table: etree._Element) -> None:
    """Take our lines out of the notes of a table, and our remarks out of its cells."""
    for row in rows_of(table):
        for cell in row:
            if cell.tag not in CELL_TAGS:
                continue
            for note in cell.findall(ANNOTATION):
                _clean_note(cell, note)
            if cell.get(TABLE + "formula") is None and is_ours(cell_text(cell)):
                _blank(cell)


def _clean_note(cell: etree._Element, note: etree._Element) -> None:
    ours = False
    for paragraph in note.findall(TEXT + "p"):
        text = paragraph_text(paragraph)
        if MARK not in text or not our_spans(text):
            continue
        ours = True
        rest = without_spans(text, our_spans(text))
        if rest.strip():
            for child in list(paragraph):
                paragraph.remove(child)
            paragraph.text = rest.strip()
        else:
            note.remove(paragraph)
    left = "".join(paragraph_text(paragraph) for paragraph in note.iterchildren(TEXT + "p"))
    creator = note.findtext(DC + "creator", "")
    if ours and not left.strip() and creator.strip() in (AUTHOR, ""):
        cell.remove(note)


def _blank(cell: etree._Element) -> None:
    for attribute in (OFFICE + "value-type", OFFICE + "string-value", CALC_EXTENSION + "value-type"):
        if cell.get(attribute) is not None:
            del cell.attrib[attribute]
    for paragraph in cell.findall(TEXT + "p"):
        cell.remove(paragraph)


Line = tuple[list[str], list[str], str]
"""Texts and styles of the cells of a row, and the name in its hidden column."""


def _lines(styles: OpenDocumentStyles, content: FindingsSheet, names: list[str]) -> list[Line]:
    head, plain = styles.for_list(bold=True), styles.for_list()
    titles = [title for title, _ in COLUMNS]
    lines: list[Line] = [
        ([content.heading], [styles.for_list(bold=True, wrap=False)], ""),
        ([], [], ""),
        (titles, [head] * len(titles), MARK),
    ]
    for at in range(max(len(content.rows), len(names))):
        name = names[at] if at < len(names) else ""
        if at < len(content.rows):
            row = content.rows[at]
            texts = [WORDS[row.severity], row.sheet, row.cell, row.field, row.what_to_do]
            lines.append((texts, [styles.for_list(fill=row.severity), *[plain] * 4], name))
        else:
            lines.append(([], [], name))
    return lines


def _add_row(table: etree._Element, texts: list[str], styles: list[str], name: str, parked: str) -> None:
    row = etree.SubElement(table, TABLE + "table-row")
    for text, style in zip(texts, styles, strict=True):
        cell = etree.SubElement(row, TABLE + "table-cell", {TABLE + "style-name": style})
        if text:
            _set_text(cell, text)
    if name:
        gap = {TABLE + "number-columns-repeated": str(PARKING - len(texts) - 1)}
        etree.SubElement(row, TABLE + "table-cell", gap)
        cell = etree.SubElement(row, TABLE + "table-cell")
        _set_style(cell, parked)
        _set_text(cell, name)
    elif not texts:
        etree.SubElement(row, TABLE + "table-cell")
