import re
import shutil
import subprocess
import zipfile
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import openpyxl
import pytest
from openpyxl.utils import range_boundaries

from railwright.reading.jobs import Job
from railwright.reading.survey import locate, read_survey
from railwright.reading.workbook import read_workbook
from railwright.survey.fields import all_fields, fields_of_section
from railwright.writing.blank_survey import write_blank

JOB = Job("=1+1", "Elm hall", "A. Person", date(2031, 4, 9), "Examplar", "E5", "0123", "mm", 3)


def written(path, unit="in", sections=4, job=None):
    write_blank(path / "blank.xlsx", unit, sections, job)
    return path / "blank.xlsx"


@cache
def opened(*args):
    """Open a blank for looking at only; each kind is written once."""
    with TemporaryDirectory() as folder:
        return openpyxl.load_workbook(written(Path(folder), *args))


def cell_of(book, key):
    sheet, cell = book.defined_names[key].attr_text.split("!")
    return book[sheet.strip("'")][cell.replace("$", "")]


def fill(path, answers):
    """Type answers into the named cells, as an office program would keep them."""
    book = openpyxl.load_workbook(path)
    for key, value in answers.items():
        cell_of(book, key).value = value
    book.save(path)
    return path


@pytest.mark.parametrize("sections", range(1, 7))
def test_every_field_has_a_cell_of_its_own_that_the_reader_finds(tmp_path, sections):
    located, troubles = locate(read_workbook(written(tmp_path, "in", sections)))
    assert troubles == []
    assert list(located) == [field.key for field in all_fields(sections)]
    assert len({(place.sheet, place.cell) for place in located.values()}) == len(located)


def test_a_blank_survey_holds_no_answer_but_the_unit(tmp_path):
    survey, _ = read_survey(written(tmp_path), "blank.xlsx")
    assert [key for key, answer in survey.answers.items() if answer.value is not None] == ["unit"]
    assert (survey.unit, survey.sections) == ("in", ())


def test_a_section_is_filled_from_top_to_bottom_in_measuring_order():
    book = opened()
    for section in range(1, 5):
        cells = [cell_of(book, field.key) for field in fields_of_section(section)]
        assert {cell.column for cell in cells} == {1 + section}
        assert [cell.row for cell in cells] == sorted(cell.row for cell in cells)


def test_labels_and_help_stand_in_the_row_of_their_input():
    book = opened()
    for field in all_fields(4):
        row = cell_of(book, field.key).row
        label = book["Survey"].cell(row, 1).value
        assert label.startswith(field.label)
        assert ("*" in label) == field.required
        assert book["Survey"].cell(row, 7).value.startswith(field.help)


def test_the_office_finds_its_column():
    for sections in (1, 4, 6):
        head = cell_of(opened("in", sections), "office_remarks")
        assert (head.value, head.column) == ("Look again", sections + 4)


def test_only_inputs_can_be_typed_over():
    book = opened()
    page = book["Survey"]
    inputs = {cell_of(book, field.key).coordinate for field in all_fields(4)}
    inside = {
        cell for area in page.merged_cells.ranges if area.start_cell.coordinate in inputs for cell in _cells(page, area)
    }
    unlocked = {cell.coordinate for row in page.iter_rows() for cell in row if not cell.protection.locked}
    assert page.protection.sheet and page.protection.password is None
    assert unlocked == inputs | inside
    assert not book["Photos and remarks"].protection.sheet


def _cells(page, area):
    return [cell.coordinate for row in page[area.coord] for cell in row]


@pytest.mark.parametrize(
    "key, inches, millimetres",
    [
        ("s1_span", "@", "0.0#"),
        ("head_width", "@", "0.0#"),
        ("s1_dampers", "0", "0"),
        ("s1_angle_1", "0.0", "0.0"),
        ("s1_screws", "@", "@"),
        ("serial", "@", "@"),
        ("order_no", "@", "@"),
        ("reading_step", "@", "@"),
        ("survey_date", "yyyy-mm-dd", "yyyy-mm-dd"),
    ],
)
def test_number_formats(key, inches, millimetres):
    assert cell_of(opened("in"), key).number_format == inches
    assert cell_of(opened("mm"), key).number_format == millimetres


def test_dropdowns_hang_on_a_hidden_list():
    book = opened()
    assert book["Lists"].sheet_state == "hidden"
    lists = {}
    for rule in book["Survey"].data_validations.dataValidation:
        if rule.type == "list":
            lists |= {cell: _listed(book, rule.formula1) for cell in str(rule.sqref).split()}
    for field in all_fields(4):
        assert lists.get(cell_of(book, field.key).coordinate, ()) == field.choices


def _listed(book, name):
    sheet, area = book.defined_names[name].attr_text.split("!")
    left, top, right, bottom = range_boundaries(area.replace("$", ""))
    assert left == right
    return tuple(book[sheet.strip("'")].cell(row, left).value for row in range(top, bottom + 1))


def test_headings_stay_in_sight_and_paper_is_set():
    page = opened()["Survey"]
    assert page.freeze_panes == "B3"
    assert page.sheet_view.selection[-1].activeCell == "B4"  # the first input
    assert (page.page_setup.fitToWidth, page.page_setup.fitToHeight, page.page_setup.orientation) == (1, 1, "portrait")


def test_nothing_of_the_newer_kind_is_in_the_file_and_nothing_floats_over_the_answers(tmp_path):
    book = zipfile.ZipFile(written(tmp_path))
    some = [name for name in book.namelist() if re.search("drawing|media|comments|vba|printerSettings", name)]
    assert sorted(some) == ["xl/drawings/drawing1.xml", "xl/drawings/drawing2.xml"]
    sheets = [name for name in book.namelist() if name.startswith("xl/worksheets/sheet")]
    drawn_on = [name for name in sheets if b"<drawing" in book.read(name)]
    assert drawn_on == ["xl/worksheets/sheet1.xml", "xl/worksheets/sheet2.xml"]
    columns = re.findall(rb"<xdr:col>(\d+)</xdr:col>", book.read("xl/drawings/drawing1.xml"))
    assert set(columns) == {b"5"}  # behind the label and four sections, counted from 0


def test_numbers_kept_as_text_are_not_marked_as_mistakes(tmp_path):
    sheet = zipfile.ZipFile(written(tmp_path)).read("xl/worksheets/sheet1.xml")
    assert b'<ignoredError sqref="B4:E52" twoDigitTextYear="1" numberStoredAsText="1"/>' in sheet
    # the order of a sheet's parts is fixed: ECMA-376-1, 18.3.1.99
    assert sheet.index(b"<headerFooter") < sheet.index(b"<ignoredErrors") < sheet.index(b"</worksheet>")


@pytest.mark.parametrize("sections", [1, 4, 6])
def test_the_second_sheet_has_a_column_of_forty_wires_a_section(sections):
    book = opened("in", sections)
    named = {name: target.attr_text for name, target in book.defined_names.items() if name.endswith("_wires")}
    columns = "DEFGHI"[:sections]
    assert named == {
        f"s{k}_wires": f"'Photos and remarks'!${letter}$4:${letter}$43" for k, letter in enumerate(columns, start=1)
    }
    for (cell,) in book["Photos and remarks"]["D4:D43"]:
        assert (cell.value, cell.number_format, cell.protection.locked) == (None, "@", False)


def test_the_table_of_wires_prints_on_a_page_beside_the_photos(tmp_path):
    page = opened()["Photos and remarks"]
    assert [stop.id for stop in page.col_breaks.brk] == [2]
    sheet = zipfile.ZipFile(written(tmp_path)).read("xl/worksheets/sheet3.xml")
    # the order of a sheet's parts is fixed: ECMA-376-1, 18.3.1.99
    assert sheet.index(b"<colBreaks") < sheet.index(b'<ignoredErrors><ignoredError sqref="D4:G43"')


def test_a_job_is_filled_in_and_goes_before_the_options(tmp_path):
    survey, _ = read_survey(written(tmp_path, "in", 6, JOB), "a.xlsx")
    assert (survey.order_no, survey.site, survey.technician) == ("=1+1", "Elm hall", "A. Person")
    assert (survey.needed_by, survey.maker, survey.model) == (date(2031, 4, 9), "Examplar", "E5")
    assert (survey.serial, survey.unit, survey.survey_date) == ("0123", "mm", None)
    assert "s3_span" in survey.answers and "s4_span" not in survey.answers


def test_what_looks_like_a_formula_stays_text():
    assert cell_of(opened("in", 4, JOB), "order_no").data_type == "s"


def test_the_same_call_gives_the_same_bytes(tmp_path):
    first = written(tmp_path, "in", 4, JOB).read_bytes()
    assert written(tmp_path, "in", 4, JOB).read_bytes() == first
    assert written(tmp_path, "in", 5).read_bytes() != first


@pytest.mark.parametrize("sections", [0, 7])
def test_there_are_one_to_six_sections(tmp_path, sections):
    with pytest.raises(ValueError, match="1 to 6"):
        write_blank(tmp_path / "a.xlsx", "in", sections)


FILLED = {
    **{"order_no": "K-7", "site": "Elm hall", "technician": "A. Person", "survey_date": date(2031, 3, 4)},
    **{"needed_by": date(2031, 4, 9), "maker": "Examplar", "model": "E5", "serial": "0123", "reading_step": "1/8"},
    **{"s1_register": "bass", "s1_dampers": 20, "s1_span": "11 1/8", "s1_run": "3/8", "s1_angle_1": 78.5},
    **{"s1_strut": "no", "s1_screws": "7; 11", "s1_gauge_low": "0 5/8", "s2_register": "treble", "head_width": "3/8"},
}


def expected_of_filled(survey):
    assert (survey.order_no, survey.serial, survey.survey_date) == ("K-7", "0123", date(2031, 3, 4))
    assert (survey.step_mm, survey.head_width_mm) == (3.175, 9.525)
    bass, treble = survey.sections
    # 11 1/8, 3/8 and 5/8 in at 25.4 mm (NIST Handbook 44, Appendix C)
    assert (bass.span_mm, bass.run_mm, bass.gauge_low_mm) == (282.575, 9.525, 15.875)
    assert (bass.dampers, bass.angle_1_deg, bass.strut, bass.screws) == (20, 78.5, False, (7, 11))
    assert (treble.register, treble.span_mm) == ("treble", None)


def test_a_filled_survey_comes_back(tmp_path):
    survey, troubles = read_survey(fill(written(tmp_path), FILLED), "a.xlsx")
    assert troubles == []
    expected_of_filled(survey)


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_an_office_program_saves_it_unharmed_and_prints_it_on_one_page(tmp_path):
    path = fill(written(tmp_path, "in", 6), FILLED)
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    for kind, out in (("xlsx", "saved"), ("pdf", "printed")):
        command = ["soffice", profile, "--headless", "--convert-to", kind, "--outdir", str(tmp_path / out), str(path)]
        subprocess.run(command, check=True, capture_output=True, timeout=120)
    survey, troubles = read_survey(tmp_path / "saved" / "blank.xlsx", "a.xlsx")
    assert troubles == []
    expected_of_filled(survey)
    pages = re.findall(rb"/Type\s*/Page\b", (tmp_path / "printed" / "blank.pdf").read_bytes())
    assert len(pages) == 4  # the survey itself, the pictures, the sheet for photos, and beside it the table of wires
