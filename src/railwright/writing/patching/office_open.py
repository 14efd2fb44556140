"""Flagging a workbook in the usual format (.xlsx, .xlsm): the parts to write anew."""

from __future__ import annotations

from collections.abc import Sequence

from railwright.reading.addresses import address
from railwright.reading.office_open import OfficeOpenWorkbook
from railwright.reading.package import Package
from railwright.reading.workbook_model import SheetEntry
from railwright.writing.patching.boxes import Boxes
from railwright.writing.patching.findings_sheet import answers, find_old, put_findings
from railwright.writing.patching.flags import FindingsSheet, Flag
from railwright.writing.patching.marks import FLAG_NAME
from railwright.writing.patching.notes import Notes
from railwright.writing.patching.planning import CellMarks, Marked, Place, plan_flags
from railwright.writing.patching.sheet_draft import SheetDraft
from railwright.writing.patching.unflag import carries_marks, cleanable, remove_fills, remove_remarks
from railwright.writing.patching.workbook_draft import WorkbookDraft, location

MAX_BOXES = 1_000
"""Boxes that are drawn on one sheet. Nobody reads a thousand notes."""

Changes = dict[str, bytes | None]


def flag_office_open(
    workbook: OfficeOpenWorkbook, flags: Sequence[Flag], sheet_rows: FindingsSheet
) -> tuple[Changes, list[str]]:
    """Flag a workbook in the usual format.

    Args:
        workbook: The open workbook, which is changed.
        flags: The cells to mark.
        sheet_rows: The findings to list.

    Returns:
        The parts to write anew (``None`` for one to leave out), and sentences about what could not be kept or written.

    Raises:
        Unreadable: If the source is no workbook that can be read.
    """
    book = WorkbookDraft(workbook)
    problems = _signature(workbook.package)
    findings, cleaned = _clean(book, problems)
    plan = plan_flags(book, flags)
    problems += plan.problems
    parked = _paint(book, plan.marked)
    for name in dict.fromkeys([*plan.marked, *cleaned]):
        mark_notes(book.sheet(name), plan.marked.get(name, {}), bool(cleaned), problems)
    for (name, place), text in plan.remark_texts().items():
        _write_remark(book, book.sheet(name), place, text, problems)
    put_findings(book, findings or book.add_sheet(), sheet_rows, parked)
    return book.draft.changes(), problems


def _signature(package: Package) -> list[str]:
    kinds = (link.kind for link in package.relationships(""))
    if any(kind.endswith("/digital-signature/origin") for kind in kinds):
        return [SIGNED]
    return []


SIGNED = "The workbook was signed digitally; the signature does not hold for the flagged copy."


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


def _paint(book: WorkbookDraft, marked: Marked) -> dict[str, int]:
    """Fill the flagged cells and name them; give their former styles by name and place of the flag."""
    parked: dict[str, int] = {}
    for sheet_name, cells in marked.items():
        sheet = book.sheet(sheet_name)
        for place in sorted(cells):
            name, former = f"{FLAG_NAME}{len(parked) + 1}", sheet.style(place)
            parked[f"{name} {location(sheet_name, place)}"] = former
            sheet.set_style(place, book.styles.flagged(former, cells[place].flags[0].severity))
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
    """Give every note of the sheet a box, and the ones that grew a larger one.

    Programs that draw no boxes leave that to the next one. Where there are absurdly many such notes, only ours get one.
    """
    drawn = boxes.places()
    for place in written:
        if place in drawn:
            boxes.enlarge(place, notes.text(place))
    missing = [place for place in notes.places() if place not in drawn]
    if len(missing) > MAX_BOXES:
        missing = [place for place in written if place not in drawn]
    if not boxes.add({place: notes.text(place) for place in missing}):
        problems.append(f"The notes on sheet {sheet!r} have no boxes, because its drawing has an unusual form.")


def _write_remark(book: WorkbookDraft, sheet: SheetDraft, place: Place, text: str, problems: list[str]) -> None:
    if sheet.text(place, book.strings()) == "":
        sheet.set_text(place, text)
    else:
        problems.append(no_remark(sheet.name, place))


def no_remark(sheet: str, place: Place) -> str:
    """Say that a remark cell was not empty."""
    return f"Cell {address(*place)} on sheet {sheet!r} holds text of its own, so it has no remark."
