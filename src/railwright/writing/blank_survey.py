"""The blank survey workbook: one sheet to fill beside the piano, one for photos, remarks and the wires at fitting."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Literal

from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.worksheet import Worksheet

from railwright.book.default_catalogue import default_shop_book
from railwright.book.model import ShopBook
from railwright.reading.jobs import COLUMNS, Job
from railwright.shop.sheet_look import new_workbook, put, widths
from railwright.shop.workbook_file import save_workbook, write_whole
from railwright.survey.fields import INSTRUMENT_FIELDS, MAX_SECTIONS, Field, fields_of_section
from railwright.writing import blank_checks as checks
from railwright.writing import blank_look as look
from railwright.writing.blank_inputs import LISTS, number_format, validations
from railwright.writing.blank_pictures import SHEET as PICTURES
from railwright.writing.blank_pictures import (
    add_picture_sheet,
    beside_row,
    large_pictures,
    row_pictures,
    with_pictures,
)
from railwright.writing.blank_wires import NUMBER_WIDTH, SECTION_WIDTH, add_wire_table
from railwright.writing.blank_workings import EarlierCounts, write_workings
from railwright.writing.drawings.shapes import Beside
from railwright.writing.number_warnings import without_number_warnings

SHEET, PHOTOS, HIDDEN_LISTS = "Survey", "Photos and remarks", "Lists"

#: The name of the cell that heads the office's column, by which the flag writer finds it.
REMARKS_NAME = "office_remarks"

_TITLE_ROW, _HEADING_ROW = 1, 2

#: Rows before which a stronger line is drawn: what is measured with one tool or from one place belongs together.
_GROUP_STARTS = ("angle_1", "strut", "screws", "gauge_low", "singles", "room_low")

_IDENTITY = frozenset(one.key for one in INSTRUMENT_FIELDS)

_LEGEND = (
    "Shaded and marked * is always needed, (*) in the case that the help names. All else is optional: the shop has a "
    "value for it. Write lengths as 12 1/8, 12.125 or 308 mm; leave a cell empty rather than guess."
)


#: Two columns beside each other that an upright page holds, also where a wider letter stands in for the font.
_PHOTO_WIDTHS = (36, 36)

_SECTIONS_BAND = (
    "Each section: fill one column from top to bottom, the bass first (Enter goes down, Tab to the next section)"
)
_FOOTER = "Wear eye protection; never loosen a string, plate bolt or pin for this survey."


@dataclass(slots=True)
class _Sheet:
    """The survey sheet while it is being laid out, with every field's cell and every picture so far."""

    page: Worksheet
    columns: look.Columns
    unit: str
    prefilled: Mapping[str, object]
    workings: Mapping[str, list[str]]
    row: int = _HEADING_ROW
    cells: list[tuple[Field, str]] = field(default_factory=list)
    pictures: list[Beside] = field(default_factory=list)


def write_blank(
    path: Path,
    unit: Literal["in", "mm"],
    sections: int = 4,
    job: Job | None = None,
    book: ShopBook | None = None,
    earlier: EarlierCounts | None = None,
) -> None:
    """Write a blank survey workbook; the same arguments always give the same bytes.

    Args:
        path: The file to write; it is written whole or not at all.
        unit: The unit that the lengths will be read in. A job that names a unit goes before.
        sections: Columns for sections, 1 to 6. A job that names a number goes before.
        job: An order whose identity is filled in.
        book: The shop book whose limits the sheet's own checks use; without one the default.
        earlier: What earlier pianos of the job's maker and model have; shown only beside what was counted.

    Raises:
        ValueError: There cannot be so many sections.
        OSError: The file cannot be written.
    """
    count = (job.sections if job else None) or sections
    if not 1 <= count <= MAX_SECTIONS:
        raise ValueError(f"a survey has 1 to {MAX_SECTIONS} sections, not {count}")
    workbook, page = new_workbook(SHEET, "Survey of a damper line")
    look.measure_columns_in(workbook)
    prefilled = _prefilled(unit, job)
    add_picture_sheet(workbook)
    wires = _add_photos(workbook, count)
    _add_lists(workbook)
    workings = write_workings(workbook, count, book or default_shop_book(), earlier)
    sheet = _Sheet(page, look.Columns(count), str(prefilled["unit"]), prefilled, workings)
    _lay_out(sheet)
    _name_cells(workbook, sheet)
    workbook.calculation.fullCalcOnLoad = True
    answers = f"{sheet.cells[0][1]}:{get_column_letter(sheet.columns.last)}{sheet.row}"
    drawings = {SHEET: row_pictures(tuple(sheet.pictures)), PICTURES: large_pictures()}
    _save(workbook, path, {SHEET: answers, PHOTOS: wires}, drawings)


def _save(workbook: Workbook, path: Path, inputs: Mapping[str, str], drawings: Mapping[str, bytes]) -> None:
    """Write the file whole or not at all, with its pictures; numbers as text are meant among the inputs."""
    with TemporaryDirectory() as folder:
        draft = Path(folder) / "draft.xlsx"
        save_workbook(workbook, draft)
        content = draft.read_bytes()
    numbers = {name: number for number, name in enumerate(workbook.sheetnames, start=1)}
    for name, cells in inputs.items():
        content = without_number_warnings(content, f"xl/worksheets/sheet{numbers[name]}.xml", cells)
    write_whole(path, with_pictures(content, {numbers[name]: drawing for name, drawing in drawings.items()}))


def _prefilled(unit: str, job: Job | None) -> dict[str, object]:
    """List what is known before the visit by field key."""
    known = {} if job is None else {name: getattr(job, name) for name in COLUMNS if name in _IDENTITY}
    return {"unit": unit} | {key: value for key, value in known.items() if value is not None}


def _lay_out(sheet: _Sheet) -> None:
    """Write the rows from top to bottom: heading, identity, the sections, what is measured once."""
    _write_heading(sheet)
    _write_band(sheet, "The instrument")
    for one in INSTRUMENT_FIELDS:
        if one.required:
            _write_instrument_row(sheet, one)
    _write_band(sheet, _SECTIONS_BAND)
    for position in range(len(fields_of_section(1))):
        _write_section_row(sheet, position)
    _write_checks(sheet)
    _write_band(sheet, "Once for the whole instrument")
    for one in INSTRUMENT_FIELDS:
        if not one.required:
            _write_instrument_row(sheet, one)
    for validation in validations(sheet.cells):
        sheet.page.add_data_validation(validation)
    _set_up_view(sheet)
    _set_up_print(sheet)


def _write_heading(sheet: _Sheet) -> None:
    page, columns = sheet.page, sheet.columns
    widths(page, columns.widths())
    look.as_title(put(page, _TITLE_ROW, columns.label, "Damper line survey"))
    look.as_small_print(put(page, _TITLE_ROW, columns.picture, _LEGEND))
    page.merge_cells(start_row=1, start_column=columns.label, end_row=1, end_column=columns.last)
    page.merge_cells(start_row=1, start_column=columns.picture, end_row=1, end_column=columns.remark)
    page.row_dimensions[_TITLE_ROW].height = 42
    look.as_heading(put(page, _HEADING_ROW, columns.label, "Reading"))
    for number in range(1, columns.sections + 1):
        text = "Section 1\nbass end" if number == 1 else f"Section {number}"
        look.as_heading(put(page, _HEADING_ROW, columns.first + number - 1, text), centred=True)
    look.as_heading(put(page, _HEADING_ROW, columns.picture, "Where"), centred=True)
    look.as_heading(put(page, _HEADING_ROW, columns.help, "How to read it"))
    look.as_heading(put(page, _HEADING_ROW, columns.remark, "Look again"))
    page.row_dimensions[_HEADING_ROW].height = 28


def _write_band(sheet: _Sheet, text: str) -> None:
    sheet.row += 1
    for column in range(sheet.columns.label, sheet.columns.remark + 1):
        look.as_band(_cell(sheet, column))
    _cell(sheet, sheet.columns.label).value = text
    sheet.page.row_dimensions[sheet.row].height = 17


def _write_instrument_row(sheet: _Sheet, one: Field) -> None:
    """Write a row whose answer holds for the whole instrument and so spans the columns of all sections."""
    columns = sheet.columns
    _write_field_texts(sheet, one, starts_group=False)
    for column in range(columns.first, columns.last + 1):
        look.as_input(_cell(sheet, column), one, number_format(one, sheet.unit), starts_group=False)
    _record(sheet, one, columns.first)
    _merge_sections(sheet)


def _merge_sections(sheet: _Sheet) -> None:
    """Make one cell of the columns of all sections in this row."""
    columns, row = sheet.columns, sheet.row
    if columns.sections > 1:
        sheet.page.merge_cells(start_row=row, start_column=columns.first, end_row=row, end_column=columns.last)


def _write_section_row(sheet: _Sheet, position: int) -> None:
    fields = [fields_of_section(number)[position] for number in range(1, sheet.columns.sections + 1)]
    starts_group = fields[0].key.split("_", 1)[1] in _GROUP_STARTS
    _write_field_texts(sheet, fields[0], starts_group)
    for column, one in enumerate(fields, start=sheet.columns.first):
        look.as_input(_cell(sheet, column), one, number_format(one, sheet.unit), starts_group)
        _record(sheet, one, column)


def _write_checks(sheet: _Sheet) -> None:
    """Write the rows of results under the sections."""
    columns = sheet.columns
    _write_band(sheet, checks.BAND)
    first = f"{get_column_letter(columns.first)}{sheet.row + 1}"
    for check in checks.CHECKS:
        _write_check(sheet, check, look.RESULT_HEIGHT)
    if checks.EARLIER_COUNTS.shows in sheet.workings:
        _write_check(sheet, checks.EARLIER_COUNTS, look.WORDY_RESULT_HEIGHT)
    checks.mark_look_again(sheet.page, f"{first}:{get_column_letter(columns.last)}{sheet.row}", first)
    _write_texts(sheet, checks.MISSING_OF_INSTRUMENT.label, checks.MISSING_OF_INSTRUMENT.help, look.RESULT_HEIGHT)
    for column in range(columns.first, columns.last + 1):
        look.as_result(_cell(sheet, column), "0")
    _cell(sheet, columns.first).value = checks.instrument_formula()
    _merge_sections(sheet)


def _write_check(sheet: _Sheet, check: checks.Check, height: float) -> None:
    columns = sheet.columns
    _write_texts(sheet, check.label, check.help, height)
    for number in range(1, columns.sections + 1):
        cell = _cell(sheet, columns.first + number - 1)
        cell.value = checks.formula_of(check, number, sheet.workings)
        look.as_result(cell, checks.number_format(check, sheet.unit), wordy=height > look.RESULT_HEIGHT)


def _write_field_texts(sheet: _Sheet, one: Field, starts_group: bool) -> None:
    mark, height = look.mark_of(one), look.row_height(one)
    _write_texts(sheet, one.label + mark, look.help_of(one), height, bool(mark), starts_group)
    if picture := beside_row(look.reading_of(one), sheet.row, sheet.columns.picture, height):
        sheet.pictures.append(picture)


def _write_texts(
    sheet: _Sheet, label: str, help: str, height: float, needed: bool = False, starts_group: bool = False
) -> None:
    """Begin a row: its label, its help and the office's cell at its end."""
    sheet.row += 1
    columns = sheet.columns
    look.as_label(put(sheet.page, sheet.row, columns.label, label), needed, starts_group)
    look.as_picture_ground(_cell(sheet, columns.picture), starts_group)
    look.as_help(put(sheet.page, sheet.row, columns.help, help), starts_group)
    look.as_remark(_cell(sheet, columns.remark), starts_group)
    sheet.page.row_dimensions[sheet.row].height = height


def _record(sheet: _Sheet, one: Field, column: int) -> None:
    """Keep the cell of a field and fill in what is known already."""
    cell = _cell(sheet, column)
    sheet.cells.append((one, cell.coordinate))
    if one.key in sheet.prefilled:
        cell.value = sheet.prefilled[one.key]  # type: ignore[assignment]
        if isinstance(cell.value, str):
            cell.data_type = "s"


def _cell(sheet: _Sheet, column: int) -> Cell:
    cell = sheet.page.cell(sheet.row, column)
    assert isinstance(cell, Cell)
    return cell


def _set_up_view(sheet: _Sheet) -> None:
    """Keep labels and section headings in sight, and let nothing but the inputs be typed over."""
    page = sheet.page
    page.freeze_panes = f"{get_column_letter(sheet.columns.first)}{_HEADING_ROW + 1}"
    page.sheet_view.showGridLines = False
    for selection in page.sheet_view.selection:
        selection.activeCell = selection.sqref = sheet.cells[0][1]
    page.protection.sheet = True
    page.protection.formatColumns = False
    page.protection.formatRows = False


def _set_up_print(sheet: _Sheet) -> None:
    """Print on one upright page, A4 or Letter."""
    page = sheet.page
    page.page_setup.orientation = "portrait"
    page.page_setup.paperSize = 9
    page.page_setup.fitToWidth = page.page_setup.fitToHeight = 1
    page.sheet_properties.pageSetUpPr.fitToPage = True  # type: ignore[union-attr]
    page.print_area = f"A1:{get_column_letter(sheet.columns.remark)}{sheet.row}"
    page.print_options.horizontalCentered = True
    margins = page.page_margins
    margins.left = margins.right = 0.4
    margins.top, margins.bottom, margins.header, margins.footer = 0.4, 0.5, 0.2, 0.25
    feet = page.oddFooter
    assert feet is not None
    feet.left.text, feet.left.size = _FOOTER, 8


def _name_cells(workbook: Workbook, sheet: _Sheet) -> None:
    """Put a workbook-level name equal to the field key on every input."""
    for one, cell in sheet.cells:
        _name(workbook, one.key, SHEET, cell)
    _name(workbook, REMARKS_NAME, SHEET, f"{get_column_letter(sheet.columns.remark)}{_HEADING_ROW}")


def _name(workbook: Workbook, name: str, sheet: str, cells: str) -> None:
    corners = [
        f"${corner.rstrip('0123456789')}${corner.lstrip('ABCDEFGHIJKLMNOPQRSTUVWXYZ')}" for corner in cells.split(":")
    ]
    workbook.defined_names[name] = DefinedName(name, attr_text=f"'{sheet}'!{':'.join(corners)}")


def _add_photos(workbook: Workbook, sections: int) -> str:
    """Add an open sheet: photos and remarks left, a page wide and as long as need be, the table of wires right.

    Args:
        workbook: Gets the sheet.
        sections: Columns of the table.

    Returns:
        The cells of the table of wires.
    """
    page = workbook.create_sheet(PHOTOS)
    assert isinstance(page, Worksheet)
    widths(page, [*_PHOTO_WIDTHS, NUMBER_WIDTH, *[SECTION_WIDTH] * MAX_SECTIONS])
    look.as_title(put(page, 1, 1, "Photos and remarks"))
    page.row_dimensions[1].height = 26
    text = (
        "Paste photos here and write beside each what it shows: section, end, screw, plate. "
        "They stay in this workbook. What shop or fitter must know goes into Remarks on the sheet Survey: "
        "that is printed for them."
    )
    look.as_small_print(put(page, 2, 1, text))
    page.merge_cells("A2:B2")
    page.page_setup.paperSize = 9
    margins = page.page_margins
    margins.left = margins.right = margins.top = margins.bottom = 0.4  # or the table does not fit a Letter page
    page.col_breaks.append(Break(id=len(_PHOTO_WIDTHS)))  # the table prints on a page of its own
    return add_wire_table(workbook, page, sections, row=1, column=len(_PHOTO_WIDTHS) + 1)


def _add_lists(workbook: Workbook) -> None:
    """Add the dropdown lists on a hidden sheet, each behind a name, so that every office program follows them."""
    page = workbook.create_sheet(HIDDEN_LISTS)
    assert isinstance(page, Worksheet)
    page.sheet_state = "hidden"
    for column, (name, choices) in enumerate(LISTS.items(), start=1):
        put(page, 1, column, name)
        for row, choice in enumerate(choices, start=2):
            put(page, row, column, choice, "@")
        letter = get_column_letter(column)
        _name(workbook, name, HIDDEN_LISTS, f"{letter}2:{letter}{len(choices) + 1}")
