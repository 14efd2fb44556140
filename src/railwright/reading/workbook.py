"""Opening a workbook of either format."""

from __future__ import annotations

from pathlib import Path

from railwright.reading.office_open import OfficeOpenWorkbook
from railwright.reading.open_document import OpenDocumentWorkbook, is_open_document
from railwright.reading.package import Package, open_package
from railwright.reading.workbook_model import SheetEntry, Workbook

__all__ = ["SheetEntry", "Workbook", "read_workbook", "workbook_of"]


def read_workbook(path: Path) -> Workbook:
    """Open a workbook for reading: Office Open XML (.xlsx, .xlsm) or OpenDocument (.ods), whatever its name.

    Args:
        path: The file; it is read once and closed again before this returns.

    Returns:
        The workbook.

    Raises:
        Unreadable: If the file cannot be opened, is no workbook, is damaged, or exceeds a limit.
    """
    return workbook_of(open_package(path))


def workbook_of(package: Package) -> Workbook:
    """Give the workbook in an open package, for one that is to be flagged afterwards without opening it again.

    Args:
        package: The open file.

    Returns:
        The workbook.

    Raises:
        Unreadable: If it is no workbook, or its list of sheets is damaged.
    """
    return OpenDocumentWorkbook(package) if is_open_document(package) else OfficeOpenWorkbook(package)
