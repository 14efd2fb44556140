"""Opening a workbook of either format."""

from __future__ import annotations

from pathlib import Path

from railwright.reading.office_open import OfficeOpenWorkbook
from railwright.reading.open_document import OpenDocumentWorkbook, is_open_document
from railwright.reading.package import open_package
from railwright.reading.workbook_model import SheetEntry, Workbook

__all__ = ["SheetEntry", "Workbook", "read_workbook"]


def read_workbook(path: Path) -> Workbook:
    """Open a workbook for reading: Office Open XML (.xlsx, .xlsm) or OpenDocument (.ods), whatever its name.

    Args:
        path: The file; it is read once and closed again before this returns.

    Returns:
        The workbook.

    Raises:
        Unreadable: If the file cannot be opened, is no workbook, is damaged, or exceeds a limit.
    """
    package = open_package(path)
    return OpenDocumentWorkbook(package) if is_open_document(package) else OfficeOpenWorkbook(package)
