"""The extra sheet that lists the findings, and that keeps the former styles of flagged cells alive."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from railwright.reading.addresses import address, parse_address
from railwright.reading.workbook_model import SheetEntry
from railwright.writing.patching.flags import WORDS, FindingRow, FindingsSheet, Severity
from railwright.writing.patching.marks import FINDINGS_NAME, FLAG_NAME, MARK
from railwright.writing.patching.notes import Notes
from railwright.writing.patching.text import as_content
from railwright.writing.patching.workbook_draft import WorkbookDraft, location

COLUMNS = (("Severity", 10), ("Sheet", 16), ("Cell", 8), ("Field", 34), ("What to do", 90))
FIRST_ROW = 4
PARKING = 26
"""Hidden column whose cells wear the former styles of flagged cells. Far enough from the list that sorting the list
leaves it alone; and a cell that was moved along is still found by its text."""

_SHEET = (
    '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    '<worksheet xmlns="{ns}"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr>{views}'
    '<sheetFormatPr defaultRowHeight="15"/><cols>{columns}<col min="26" max="26" width="9" hidden="1"/></cols>'
    "<sheetData>{rows}</sheetData>{jumps}"
    '<pageMargins left="0.5" right="0.5" top="0.5" bottom="0.5" header="0.3" footer="0.3"/>'
    '<pageSetup orientation="landscape" fitToHeight="0"/></worksheet>'
)
_VIEWS = (
    '<sheetViews><sheetView workbookViewId="0"><pane ySplit="3" topLeftCell="A4" activePane="bottomLeft" '
    'state="frozen"/></sheetView></sheetViews>'
)


def find_old(book: WorkbookDraft) -> SheetEntry | None:
    """Find the findings sheet of an earlier run, by its name for programs or by its hidden mark."""
    by_name = {entry.name: entry for entry in book.sheets}
    for name, sheet, _ in book.our_names():
        if name == FINDINGS_NAME and sheet in by_name:
            return by_name[sheet]
    for entry in book.sheets:
        if entry.name.startswith("Findings") and _is_marked(book, entry.name):
            return entry
    return None


def _is_marked(book: WorkbookDraft, name: str) -> bool:
    return book.sheet(name).text((FIRST_ROW - 1, PARKING), book.strings()) == MARK


def parked_styles(book: WorkbookDraft, entry: SheetEntry) -> dict[str, int]:
    """Read the former styles from the findings sheet of an earlier run.

    Args:
        book: The workbook.
        entry: The findings sheet.

    Returns:
        Style numbers, as they are now, by the name and the former place of the flag, with a blank between them.
    """
    sheet = book.sheet(entry.name)
    texts = ((place, sheet.text(place, book.strings())) for place in sheet.places() if place[1] == PARKING)
    return {text: sheet.style(place) for place, text in texts if text and text.startswith(FLAG_NAME)}


def answers(book: WorkbookDraft, entry: SheetEntry) -> list[str]:
    """Find what somebody wrote beside the list of an earlier run, which the new list does not keep.

    Args:
        book: The workbook.
        entry: The findings sheet.

    Returns:
        A sentence for each such cell or note.
    """
    sheet = book.sheet(entry.name)
    found = []
    for place in sheet.places():
        text = sheet.text(place, book.strings())
        if text is None:
            found.append(f"Sheet {entry.name!r} held a value in {address(*place)} that the new list does not keep.")
        elif text and len(COLUMNS) < place[1] != PARKING:
            found.append(f"Sheet {entry.name!r} held an answer in {address(*place)}: {text[:500]!r}.")
    notes = Notes(sheet)
    found += [f"Sheet {entry.name!r} held a note on {address(*p)}: {notes.text(p)[:500]!r}." for p in notes.places()]
    return found


def put_findings(book: WorkbookDraft, entry: SheetEntry, content: FindingsSheet, parked: Mapping[str, int]) -> None:
    """Write the list of findings in the place of a sheet.

    Args:
        book: The workbook.
        entry: The sheet; whatever it held is replaced.
        content: Heading and lines.
        parked: The former styles of flagged cells, by the names and places of the flags.
    """
    for link in book.draft.links(entry.part):
        book.draft.unlink(entry.part, link.id)
    columns = "".join(f'<col min="{n}" max="{n}" width="{w}" customWidth="1"/>' for n, (_, w) in enumerate(COLUMNS, 1))
    sheet = _SHEET.format(
        ns=book.ns.strip("{}"),
        views=_VIEWS if book.has_window() else "",
        columns=columns,
        rows="".join(_row(number, cells) for number, cells in _lines(book, content, parked)),
        jumps=_jumps(book, content.rows),
    )
    book.draft.put(entry.part, sheet.encode())
    book.add_name(FINDINGS_NAME, entry.name, (1, 1))


Cells = list[tuple[int, str, int]]
"""Cells of one row: column, text, style."""


def _lines(book: WorkbookDraft, content: FindingsSheet, parked: Mapping[str, int]) -> Iterator[tuple[int, Cells]]:
    severities = dict.fromkeys(row.severity for row in content.rows)
    fills = {severity: book.styles.for_list(fill=severity) for severity in severities}
    plain = book.styles.for_list()
    head = book.styles.for_list(bold=True)
    yield 1, [(1, content.heading, book.styles.for_list(bold=True, wrap=False))]
    yield 3, [*((n, title, head) for n, (title, _) in enumerate(COLUMNS, 1)), (PARKING, MARK, 0)]
    parking = list(parked.items())
    for at in range(max(len(content.rows), len(parking))):
        cells = _finding_cells(content.rows[at], fills, plain) if at < len(content.rows) else []
        if at < len(parking):
            cells.append((PARKING, *parking[at]))
        yield FIRST_ROW + at, cells


def _finding_cells(row: FindingRow, fills: Mapping[Severity, int], plain: int) -> Cells:
    texts = (row.sheet, row.cell, row.field, row.what_to_do)
    first = (1, WORDS[row.severity], fills[row.severity])
    return [first, *((column, text, plain) for column, text in enumerate(texts, 2))]


def _row(number: int, cells: Cells) -> str:
    lines = max((_lines_needed(text, column) for column, text, _ in cells), default=1)
    height = f' ht="{min(15 * lines, 400)}" customHeight="1"' if lines > 1 else ""
    written = "".join(_cell(address(number, column), text, style) for column, text, style in cells)
    return f'<row r="{number}"{height}>{written}</row>'


def _cell(ref: str, text: str, style: int) -> str:
    if not text:
        return f'<c r="{ref}" s="{style}"/>'
    return f'<c r="{ref}" s="{style}" t="inlineStr"><is><t xml:space="preserve">{as_content(text)}</t></is></c>'


def _lines_needed(text: str, column: int) -> int:
    """Estimate the lines of a wrapped text, a column being as wide as that many figures."""
    if not 1 < column <= len(COLUMNS):
        return 1
    return sum(max(1, -(-len(line) // COLUMNS[column - 1][1])) for line in text.split("\n"))


def _jumps(book: WorkbookDraft, rows: Sequence[FindingRow]) -> str:
    """Let a click on an address jump to the cell."""
    links = []
    for number, row in enumerate(rows, FIRST_ROW):
        sheet, place = book.find_sheet(row.sheet), parse_address(row.cell)
        if sheet is not None and place is not None:
            links.append(f'<hyperlink ref="{address(number, 3)}" location="{as_content(location(sheet, place))}"/>')
    return f"<hyperlinks>{''.join(links)}</hyperlinks>" if links else ""
