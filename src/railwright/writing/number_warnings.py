"""Keep an office program from marking readings as mistakes because they are numbers kept as text.

A sheet can say so itself (``ignoredErrors``, ECMA-376-1, 18.3.1.51), but openpyxl does not write that part of a sheet.
"""

from __future__ import annotations

import io
import zipfile

_END = b"</worksheet>"
_LATER = (b"<drawing", b"<legacyDrawing", b"<tableParts", b"<extLst")


def without_number_warnings(workbook: bytes, part: str, cells: str) -> bytes:
    """Add the statement that numbers as text are meant in some cells of one sheet.

    Args:
        workbook: A saved workbook.
        part: The sheet's part, such as ``xl/worksheets/sheet1.xml``; it has no drawing, table or extension.
        cells: The cells, such as ``B4:E52``.

    Returns:
        The same workbook with the statement; every other part is as it was, also its time.

    Raises:
        ValueError: The sheet has something behind which the statement may not stand, or does not end as a sheet does.
    """
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(workbook)) as source, zipfile.ZipFile(packed, "w") as target:
        for member in source.infolist():
            content = source.read(member)
            target.writestr(member, _stated(content, cells) if member.filename == part else content)
    return packed.getvalue()


def _stated(sheet: bytes, cells: str) -> bytes:
    body, end, behind = sheet.rpartition(_END)
    if not end or behind.strip() or any(name in body for name in _LATER):
        raise ValueError("the sheet does not end where a statement on warnings may stand")
    meant = f'<ignoredError sqref="{cells}" twoDigitTextYear="1" numberStoredAsText="1"/>'
    return body + f"<ignoredErrors>{meant}</ignoredErrors>".encode() + end
