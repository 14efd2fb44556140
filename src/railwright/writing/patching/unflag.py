"""Taking the flags of an earlier run out of a copy that came back."""

from __future__ import annotations

from railwright.reading import limits
from railwright.reading.directory import part_key
from railwright.reading.unreadable import Unreadable
from railwright.reading.workbook_model import SheetEntry
from railwright.writing.patching.findings_sheet import parked_styles
from railwright.writing.patching.marks import FLAG_NAME, MARK, is_ours
from railwright.writing.patching.notes import Notes
from railwright.writing.patching.sheet_draft import SheetDraft
from railwright.writing.patching.workbook_draft import WorkbookDraft, location


def carries_marks(book: WorkbookDraft) -> bool:
    """Tell whether a workbook was flagged before, however it was saved since."""
    if book.our_names() or book.styles.any_flagged():
        return True
    mark = MARK.encode()
    members = book.draft.package.members
    named = [member for member in members if "comments" in member.name or "sharedStrings" in member.name]
    return any(mark in book.draft.read(member.name) for member in named if member.unpacked <= limits.MAX_XML)


def cleanable(book: WorkbookDraft, findings: SheetEntry | None) -> list[str]:
    """List the sheets that may hold flags of ours.

    Args:
        book: The workbook.
        findings: The list itself, which is left out; ``None`` where it is gone.

    Returns:
        The sheets where names say so, and others up to a total size, since a mark can be copied anywhere.
    """
    package = book.draft.package
    package.room += limits.MAX_CLEANED
    named = {sheet for _, sheet, _ in book.our_names()}
    left, chosen = limits.MAX_CLEANED, []
    for entry in book.sheets:
        size = package.by_key[part_key(entry.part)].unpacked
        if entry == findings or (entry.name not in named and size > left):
            continue
        left -= 0 if entry.name in named else size
        if _can_be_read(book, entry.name):
            chosen.append(entry.name)
    return chosen


def _can_be_read(book: WorkbookDraft, sheet: str) -> bool:
    """Tell whether a sheet and its notes are whole; a damaged one that nobody asks for stays as it is."""
    try:
        Notes(book.sheet(sheet))
    except Unreadable:
        return False
    return True


def remove_fills(book: WorkbookDraft, sheets: list[str], findings: SheetEntry | None) -> list[str]:
    """Give flagged cells their former fill again.

    Args:
        book: The workbook.
        sheets: The sheets to look through.
        findings: The findings sheet of the earlier run, which wears the former styles; ``None`` where it is gone.

    Returns:
        A sentence where former fills could not be had, else nothing.
    """
    former = _former_styles(book, findings)
    lost = 0
    for sheet in map(book.sheet, sheets):
        for place in sheet.places():
            style = sheet.style(place)
            if not book.styles.is_flagged(style):
                continue
            where = location(sheet.name, place)
            lost += where not in former
            sheet.set_style(place, book.styles.restored(style, former.get(where)))
    return fills_lost(lost)


def _former_styles(book: WorkbookDraft, findings: SheetEntry | None) -> dict[str, int]:
    """Give the former styles of flagged cells by where those cells are now.

    The names tell where, since they move along with the cells. Where a program has dropped them all, the places written
    down when the cells were flagged have to do.
    """
    parked = {} if findings is None else parked_styles(book, findings)
    names = [found for found in book.our_names() if found[0].startswith(FLAG_NAME)]
    if not names:
        return {text.partition(" ")[2]: style for text, style in parked.items()}
    by_name = {text.partition(" ")[0]: style for text, style in parked.items()}
    placed = ((name, location(sheet, place)) for name, sheet, place in names if place is not None)
    return {where: by_name[name] for name, where in placed if name in by_name}


def fills_lost(count: int) -> list[str]:
    """Say that cells wore a fill of ours and nothing told of the one before; nothing to say where there are none."""
    if not count:
        return []
    which = "1 cell was" if count == 1 else f"{count} cells were"
    return [
        f"{which} marked by an earlier run without a record of the former fill (was the list deleted?): no fill now."
    ]


def remove_remarks(sheet: SheetDraft, strings: list[str]) -> None:
    """Make cells blank that hold nothing but a remark of ours."""
    for place in sheet.places():
        text = sheet.text(place, strings)
        if text and is_ours(text):
            sheet.clear(place)
