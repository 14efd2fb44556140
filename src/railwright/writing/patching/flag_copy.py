"""The flagged copy of a workbook, from the source to the finished file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from railwright.reading.addresses import address, parse_address
from railwright.reading.package import Package, open_package
from railwright.reading.workbook import SheetEntry
from railwright.writing.patching.boxes import Boxes
from railwright.writing.patching.findings_sheet import answers, find_old, put_findings
from railwright.writing.patching.flags import WORDS, FindingsSheet, Flag
from railwright.writing.patching.marks import FLAG_NAME, our_line
from railwright.writing.patching.notes import Notes
from railwright.writing.patching.sheet_draft import Place, SheetDraft
from railwright.writing.patching.unflag import carries_marks, cleanable, remove_fills, remove_remarks
from railwright.writing.patching.workbook_draft import WorkbookDraft
from railwright.writing.patching.zip_copy import write_copy


def flag_copy(source: Path, target: Path, flags: Sequence[Flag], sheet_rows: FindingsSheet) -> list[str]:
    """Write a copy of a workbook with cells marked and a sheet of findings added.

    Only the parts that must change are written anew; every other member of the file is copied byte for byte. Flags of
    an earlier run are replaced. The source is only read.

    Args:
        source: The workbook.
        target: The copy; an existing file is replaced once the new one is complete.
        flags: The cells to mark.
        sheet_rows: The findings to list.

    Returns:
        Sentences about what could not be kept or written; usually none.

    Raises:
        Unreadable: If the source is no workbook that can be read.
        OSError: If the target cannot be written.
    """
    return flag_package(open_package(source), target, flags, sheet_rows)


def flag_package(package: Package, target: Path, flags: Sequence[Flag], sheet_rows: FindingsSheet) -> list[str]:
    """Do the same for a workbook that is open already.

    Args:
        package: The open workbook.
        target: The copy.
        flags: The cells to mark.
        sheet_rows: The findings to list.

    Returns:
        Sentences about what could not be kept or written.

    Raises:
        ValueError: If the target is the source.
        Unreadable: If the source is no workbook that can be read.
        OSError: If the target cannot be written.
    """
    if target.resolve() == package.path.resolve():
        raise ValueError("the copy must not replace its source")
    book = WorkbookDraft(package)
    problems = _signature(package)
    findings, cleaned = _clean(book, problems)
    marked = _place_flags(book, flags, problems)
    parked = _paint(book, marked)
    for name in dict.fromkeys([*marked, *cleaned]):
        mark_notes(book.sheet(name), marked.get(name, {}), bool(cleaned), problems)
    _write_remarks(book, flags, problems)
    put_findings(book, findings or book.add_sheet(), sheet_rows, parked)
    write_copy(package, book.draft.changes(), target)
    return problems


def _signature(package: Package) -> list[str]:
    kinds = (link.kind for link in package.relationships(""))
    if any(kind.endswith("/digital-signature/origin") for kind in kinds):
        return ["The workbook was signed digitally; the signature does not hold for the flagged copy."]
    return []


def _clean(book: WorkbookDraft, problems: list[str]) -> tuple[SheetEntry | None, list[str]]:
    """Take out earlier flags, but for the notes; give the old list and the sheets that were looked through."""
    if not carries_marks(book):
        return None, []
    findings = find_old(book)
    sheets = cleanable(book, findings)
    problems += remove_fills(book, sheets, findings)
    for name in sheets:
        remove_remarks(book.sheet(name), book.strings())
    if findings is not None:
        problems += answers(book, findings)
    book.remove_our_names()
    return findings, sheets


@dataclass(slots=True)
class CellMarks:
    """All that is to be said about one cell, worst first."""

    flags: list[Flag] = field(default_factory=list)

    def lines(self) -> list[str]:
        """Give the lines of its note, each once."""
        return list(dict.fromkeys(our_line(flag.severity, flag.note) for flag in self.flags if flag.note.strip()))


Marked = dict[str, dict[Place, CellMarks]]


def _badness(flag: Flag) -> int:
    return list(WORDS).index(flag.severity)


def _place_flags(book: WorkbookDraft, flags: Sequence[Flag], problems: list[str]) -> Marked:
    """Sort flags by sheet and cell."""
    marked: Marked = {}
    for flag in sorted(flags, key=_badness):
        sheet, place = book.find_sheet(flag.sheet), parse_address(flag.cell)
        if sheet is None or place is None:
            problems.append(f"There is no cell {flag.cell!r} on a sheet {flag.sheet!r} to mark.")
            continue
        cells = marked.setdefault(sheet, {})
        cells.setdefault(book.sheet(sheet).anchor(place), CellMarks()).flags.append(flag)
    return marked


def _paint(book: WorkbookDraft, marked: Marked) -> dict[str, int]:
    """Fill the flagged cells and name them; give their former styles by those names."""
    parked: dict[str, int] = {}
    for sheet_name, cells in marked.items():
        sheet = book.sheet(sheet_name)
        for place in sorted(cells):
            name = f"{FLAG_NAME}{len(parked) + 1}"
            parked[name] = sheet.style(place)
            sheet.set_style(place, book.styles.flagged(parked[name], cells[place].flags[0].severity))
            book.add_name(name, sheet_name, place)
    return parked


def mark_notes(sheet: SheetDraft, cells: dict[Place, CellMarks], clean: bool, problems: list[str]) -> None:
    """Write the notes of one sheet.

    Args:
        sheet: The sheet.
        cells: What to say, by cell.
        clean: Whether notes of an earlier run may be there.
        problems: Sentences are added to it.
    """
    notes, boxes = Notes(sheet), Boxes(sheet)
    before = set(notes.places())
    if clean:
        notes.remove_ours()
    written = []
    for place in sorted(cells):
        if place in notes.conversations:
            problems.append(_conversation(sheet.name, place))
        elif lines := cells[place].lines():
            notes.add(place, lines)
            written.append(place)
    boxes.remove(before.difference(notes.places()))
    if written:
        _draw(notes, boxes, written, sheet.name, problems)
    boxes.finish()
    notes.finish()


def _conversation(sheet: str, place: Place) -> str:
    return (
        f"Cell {address(*place)} on sheet {sheet!r} carries a conversation, to which no note can be added; "
        "see the list of findings."
    )


def _draw(notes: Notes, boxes: Boxes, written: list[Place], sheet: str, problems: list[str]) -> None:
    """Give every note of the sheet a box, and the ones that grew a larger one."""
    drawn = boxes.places()
    for place in written:
        if place in drawn:
            boxes.enlarge(place, notes.text(place))
    missing = {place: notes.text(place) for place in notes.places() if place not in drawn}
    if not boxes.add(missing):
        problems.append(f"The notes on sheet {sheet!r} have no boxes, because its drawing has an unusual form.")


def _write_remarks(book: WorkbookDraft, flags: Sequence[Flag], problems: list[str]) -> None:
    """Write remarks into the cells that the caller set aside for them, where those are empty.

    Several flags may share a remark cell: each remark is one line, the same one only once, with the worst word.
    """
    remarks: dict[tuple[str, Place], dict[str, str]] = {}
    for flag in sorted(flags, key=_badness):
        sheet = book.find_sheet(flag.sheet)
        if sheet is None or flag.remark_cell is None or not flag.remark.strip():
            continue
        place = parse_address(flag.remark_cell)
        if place is None:
            problems.append(f"There is no cell {flag.remark_cell!r} on sheet {sheet!r} for a remark.")
            continue
        lines = remarks.setdefault((sheet, book.sheet(sheet).anchor(place)), {})
        lines.setdefault(flag.remark.strip(), our_line(flag.severity, flag.remark))
    for (sheet, place), lines in remarks.items():
        _write_remark(book, book.sheet(sheet), place, "\n".join(lines.values()), problems)


def _write_remark(book: WorkbookDraft, sheet: SheetDraft, place: Place, text: str, problems: list[str]) -> None:
    if sheet.text(place, book.strings()) == "":
        sheet.set_text(place, text)
    else:
        problems.append(f"Cell {address(*place)} on sheet {sheet.name!r} holds text of its own, so it has no remark.")
