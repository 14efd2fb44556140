"""Workbooks as files: whole or not at all, and the same bytes for the same content."""

from __future__ import annotations

import errno
import os
import re
import shutil
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path
from typing import IO, Any

from lxml.etree import Element, SerialisationError
from openpyxl import Workbook
from openpyxl.drawing.spreadsheet_drawing import SpreadsheetDrawing
from openpyxl.utils import get_column_letter
from openpyxl.worksheet._writer import WorksheetWriter
from openpyxl.worksheet.dimensions import SheetDimension
from openpyxl.worksheet.worksheet import Worksheet
from openpyxl.writer.excel import ExcelWriter

from railwright.shop.sheet_lines import Lines, lines_in

_FIXED_TIME = (1980, 1, 1, 0, 0, 0)
_PROPERTIES = "docProps/core.xml"
#: Stands in a sheet where a block of lines belongs; no text of a cell is ever spelled so.
_MARK = "lines"
_MARKS = re.compile(rb'<lines first="(\d+)"/>')


def save_workbook(workbook: Workbook, path: Path) -> None:
    """Write a workbook whole or not at all; the same content always gives the same bytes.

    Args:
        workbook: what to write.
        path: the file; its folder is made when missing.

    Raises:
        OSError: the file, or a temporary one on the way to it, cannot be written.
    """
    try:
        _write_beside(path, lambda file: _save(workbook, file))
    except SerialisationError as trouble:  # openpyxl keeps each sheet in a temporary file; a full disk ends here too
        raise OSError(_system_error(trouble), f"a temporary file could not be written ({trouble})", str(path)) from None
    finally:
        for sheet in workbook.worksheets:
            if lines := lines_in(sheet):
                lines.close()


def _system_error(trouble: SerialisationError) -> int:
    """Give the system's number of what libxml2 calls ``IO_ENOSPC`` and the like; plain ``EIO`` for what has none."""
    return int(getattr(errno, str(trouble).removeprefix("IO_"), errno.EIO))


def write_whole(path: Path, content: bytes) -> None:
    """Write a file beside its place and move it there, so that a reader never meets half of it."""
    _write_beside(path, lambda file: file.write(content))


def _write_beside(path: Path, write: Callable[[IO[bytes]], object]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            write(file)
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _save(workbook: Workbook, file: IO[bytes]) -> None:
    with _Package(file, "w", zipfile.ZIP_DEFLATED) as package:
        _Writer(workbook, package).write_data()


class _Package(zipfile.ZipFile):
    """A package in which every time of writing is one fixed day."""

    def writestr(self, zinfo_or_arcname: Any, data: Any, *settings: Any, **more: Any) -> None:
        """Add a member."""
        if zinfo_or_arcname == _PROPERTIES:
            data = re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", b"1980-01-01T00:00:00Z", data)
        super().writestr(_member(zinfo_or_arcname), data, *settings, **more)

    def write(self, filename: Any, arcname: Any = None, *settings: Any, **more: Any) -> None:
        """Add a file as a member."""
        with Path(filename).open("rb") as source, self.open(_member(arcname), "w") as member:
            shutil.copyfileobj(source, member)


def _member(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, _FIXED_TIME)
    info.compress_type = zipfile.ZIP_DEFLATED
    info.external_attr = 0o600 << 16
    return info


class _Writer(ExcelWriter):
    """Writes a workbook; a sheet with lines gets them in their places."""

    _archive: zipfile.ZipFile

    def write_worksheet(self, ws: Any) -> None:
        """Write a sheet."""
        lines = lines_in(ws)
        if lines is None:
            super().write_worksheet(ws)
            return
        ws._drawing = SpreadsheetDrawing()
        writer = _LinedSheetWriter(ws, lines)
        writer.write()
        ws._rels = writer._rels
        with self._archive.open(_member(ws.path[1:]), "w") as member:
            for piece in writer.pieces():
                member.write(piece)
        self.manifest.append(ws)


class _LinedSheetWriter(WorksheetWriter):
    """Writes the cells of a sheet, with marks where its lines belong."""

    ws: Any
    _rels: Any

    def __init__(self, ws: Worksheet, lines: Lines) -> None:
        self._text = BytesIO()
        self._lines = lines
        super().__init__(ws, self._text)

    def write_dimensions(self) -> None:
        """Write how far the sheet reaches, lines included."""
        rows, columns = zip(*self.ws._cells, strict=True)
        last = f"{get_column_letter(max(*columns, self._lines.last_column))}{max(*rows, self._lines.last_row)}"
        first = f"{get_column_letter(min(columns))}{min(rows)}"
        self.xf.send(SheetDimension(f"{first}:{last}").to_tree())

    def write_rows(self) -> None:
        """Write the rows of cells and a mark for each block of lines, by their numbers."""
        rows: list[tuple[int, Any]] = [*self.rows(), *((first, None) for first in self._lines.blocks)]
        xf: Any = self.xf.send(True)
        with xf.element("sheetData"):
            for number, cells in sorted(rows, key=lambda row: row[0]):
                if cells is None:
                    xf.write(Element(_MARK, first=str(number)))
                else:
                    self.write_row(xf, cells, number)
        self.xf.send(None)

    def pieces(self) -> Iterator[bytes]:
        """Give the whole sheet, piece by piece."""
        texts = _MARKS.split(self._text.getvalue())
        yield texts[0]
        for first, text in zip(texts[1::2], texts[2::2], strict=True):
            yield from self._lines.text_of(int(first))
            yield text
