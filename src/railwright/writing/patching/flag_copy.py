"""The flagged copy of a workbook, from the source to the finished file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from railwright.reading.office_open import OfficeOpenWorkbook
from railwright.reading.open_document import OpenDocumentWorkbook
from railwright.reading.workbook import Workbook, read_workbook
from railwright.writing.patching.flags import FindingsSheet, Flag
from railwright.writing.patching.office_open import flag_office_open
from railwright.writing.patching.open_document import flag_open_document
from railwright.writing.patching.zip_copy import write_copy


def flag_copy(source: Path, target: Path, flags: Sequence[Flag], sheet_rows: FindingsSheet) -> list[str]:
    """Write a copy of a workbook with cells marked and a sheet of findings added.

    Only the parts that must change are written anew; every other member of the file is copied byte for byte. Flags of
    an earlier run are replaced. The source is only read. The copy has the format of the source.

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
    return flag_workbook(read_workbook(source), target, flags, sheet_rows)


def flag_workbook(book: Workbook, target: Path, flags: Sequence[Flag], sheet_rows: FindingsSheet) -> list[str]:
    """Do the same for a workbook that is open already; it is good for nothing else afterwards.

    Args:
        book: The open workbook. What is marked is marked in it, too; its file is only read.
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
    if target.resolve() == book.package.path.resolve():
        raise ValueError("the copy must not replace its source")
    if isinstance(book, OfficeOpenWorkbook):
        changes, problems = flag_office_open(book, flags, sheet_rows)
    else:
        assert isinstance(book, OpenDocumentWorkbook)
        changes, problems = flag_open_document(book, flags, sheet_rows)
    write_copy(book.package, changes, target)
    return problems
