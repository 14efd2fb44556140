"""The survey workbook's pictures of where each reading is taken: lines that stay sharp on screen and paper.

A small one lies beside each row; a page of its own has larger ones with words.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import count

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from railwright.shop.sheet_look import put, widths
from railwright.writing import blank_look as look
from railwright.writing.drawings.row_pictures import HEIGHT, WIDTH, row_picture
from railwright.writing.drawings.shapes import Beside, render_beside, render_shapes
from railwright.writing.drawings.survey_pictures import survey_pictures

SHEET = "Where to measure"

_HEADS = (26.0, 20.0)
#: Columns under the heading, in characters: even with wide letters they are narrower than the pictures, so that every
#: office program takes the pictures' own width for the page's.
_COLUMNS = (9.0,) * 8
_LEFT_MM, _POINT_MM = 2.0, 25.4 / 72.0

_PART, _LINKS = "xl/drawings/drawing{}.xml", "xl/worksheets/_rels/sheet{}.xml.rels"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_LINK = (
    '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    f'<Relationship Id="rId1" Type="{_OFFICE}/drawing" Target="/{{}}"/></Relationships>'
)
_TYPE = '<Override PartName="/{}" ContentType="application/vnd.openxmlformats-officedocument.drawing+xml"/>'
#: What may stand behind a drawing in a sheet (CT_Worksheet, ECMA-376-1, 18.3.1.99).
_LATER = (b"<legacyDrawing", b"<tableParts", b"<extLst")


def add_picture_sheet(workbook: Workbook) -> None:
    """Add the page, still without its pictures, behind the sheets that are there; it prints on one upright page."""
    page = workbook.create_sheet(SHEET)
    assert isinstance(page, Worksheet)
    widths(page, _COLUMNS)
    look.as_title(put(page, 1, 1, "Where to measure"))
    look.as_small_print(
        put(page, 2, 1, "Not to scale. Blue is what is read; the names are those of the survey's rows.")
    )
    for row, height in enumerate(_HEADS, start=1):
        page.row_dimensions[row].height = height
    for row in (1, 2):
        page.merge_cells(start_row=row, start_column=1, end_row=row, end_column=len(_COLUMNS))
    _set_up(page)


def _set_up(page: Worksheet) -> None:
    page.sheet_view.showGridLines = False
    page.protection.sheet = True
    page.page_setup.orientation = "portrait"
    page.page_setup.paperSize = 9
    page.page_setup.fitToWidth = page.page_setup.fitToHeight = 1
    page.sheet_properties.pageSetUpPr.fitToPage = True  # type: ignore[union-attr]
    page.print_options.horizontalCentered = True
    margins = page.page_margins
    margins.left = margins.right = margins.top = margins.bottom = 0.4


def with_pictures(workbook: bytes, drawings: Mapping[int, bytes]) -> bytes:
    """Put pictures on their sheets; openpyxl writes no shapes.

    Args:
        workbook: a saved workbook; the sheets have no drawing yet.
        drawings: a drawing part for each sheet that gets one, by the sheet's number from 1.

    Returns:
        The workbook with the pictures; every other part is as it was, also its time.

    Raises:
        ValueError: a sheet has something already behind which a drawing may not stand.
    """
    sheets = {f"xl/worksheets/sheet{number}.xml" for number in drawings}
    parts = dict(zip(sorted(drawings), _free_parts(workbook), strict=False))
    types = "".join(_TYPE.format(part) for part in parts.values())
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(workbook)) as source, zipfile.ZipFile(packed, "w") as target:
        for member in source.infolist():
            content = source.read(member)
            if member.filename in sheets:
                content = _drawn_on(content)
            elif member.filename == "[Content_Types].xml":
                content = content.replace(b"</Types>", f"{types}</Types>".encode())
            target.writestr(member, content)
        for number, part in parts.items():
            for name, content in ((_LINKS.format(number), _LINK.format(part).encode()), (part, drawings[number])):
                target.writestr(_like(source.infolist()[0], name), content)
    return packed.getvalue()


def _free_parts(workbook: bytes) -> Iterator[str]:
    """Name drawing parts that are not there yet; a survey with photos has some."""
    with zipfile.ZipFile(io.BytesIO(workbook)) as source:
        taken = set(source.namelist())
    return (part for part in map(_PART.format, count(1)) if part not in taken)


def _drawn_on(sheet: bytes) -> bytes:
    body, end, behind = sheet.rpartition(b"</worksheet>")
    if not end or behind.strip() or any(name in body for name in _LATER):
        raise ValueError("the sheet does not end where a drawing may stand")
    return body + f'<drawing xmlns:r="{_OFFICE}" r:id="rId1"/>'.encode() + end


def _like(member: zipfile.ZipInfo, name: str) -> zipfile.ZipInfo:
    """Describe a new part with the time and the packing of another."""
    info = zipfile.ZipInfo(name, member.date_time)
    info.compress_type, info.external_attr = member.compress_type, member.external_attr
    return info


def beside_row(key: str, row: int, column: int, row_height: float) -> Beside | None:
    """Place the small picture of a reading in its row.

    Args:
        key: the field's key, without its section.
        row: the row, from 1.
        column: the column of pictures.
        row_height: the row's height in points.

    Returns:
        The picture in the middle of the row's height; ``None`` for a reading that has none.
    """
    view = row_picture(key)
    if view is None:
        return None
    left = (look.PICTURE_WIDTH_MM - WIDTH) / 2.0
    return Beside(view, row, column, left, (row_height * _POINT_MM - HEIGHT) / 2.0)


@lru_cache(maxsize=8)
def row_pictures(pictures: tuple[Beside, ...]) -> bytes:
    """Draw the small pictures once for each layout, however many workbooks are written."""
    return render_beside(pictures, HEIGHT)


@lru_cache(maxsize=1)
def large_pictures() -> bytes:
    """Draw the pictures once, however many workbooks are written."""
    return render_shapes(survey_pictures(), _LEFT_MM, sum(_HEADS) * _POINT_MM + 1.0)
