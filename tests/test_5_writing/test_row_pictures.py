"""The small pictures beside the rows of the survey: each in the row of its reading, showing how it is taken."""

from __future__ import annotations

import zipfile
from pathlib import Path

import openpyxl
import pytest
from lxml import etree
from openpyxl.drawing.spreadsheet_drawing import SpreadsheetDrawing

from railwright.survey.fields import INSTRUMENT_FIELDS, SECTION_FIELDS, all_fields
from railwright.writing import blank_look as look
from railwright.writing.blank_look import reading_of
from railwright.writing.blank_survey import write_blank
from railwright.writing.drawings import row_pictures as pictures
from railwright.writing.drawings.primitives import Circle, Line, Polyline, Primitive, View
from railwright.writing.drawings.row_pictures import row_picture

XDR = "{http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing}"
A = "{http://schemas.openxmlformats.org/drawingml/2006/main}"
PART = "xl/drawings/drawing1.xml"
FIELDS = {field.key: field for field in (*INSTRUMENT_FIELDS, *SECTION_FIELDS)}
#: What is known or chosen, not measured or counted at a place.
NO_PLACE = {
    *("order_no", "site", "technician", "survey_date", "needed_by", "maker", "model", "serial", "unit"),
    *("reading_step", "remarks", "register"),
}
SHOWN = [key for key in FIELDS if key not in NO_PLACE]
#: Screen dots of a row's heading, and of a tablet held upright (common practice, no source).
HEADING, TABLET = 40, 820


@pytest.fixture(scope="module")
def blank(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("blank") / "blank.xlsx"
    write_blank(path, "mm", 6)
    return path


def view_of(key: str) -> View:
    view = row_picture(key)
    assert view
    return view


def of_layer(key: str, layer: object, kind: type) -> list[Primitive]:
    return [one for one in view_of(key).primitives if isinstance(one, kind) and one.layer == layer]


def heads(key: str) -> list[tuple[float, float]]:
    xs = [[x for x, _ in one.points] for one in of_layer(key, pictures.HEAD, Polyline)]
    return sorted((min(some), max(some)) for some in xs)


def readings(key: str) -> list[tuple[float, float]]:
    """Give the readings along the rail: level lines from arrow to arrow."""
    lines = of_layer(key, pictures.MEASURE, Line)
    return [(one.start[0], one.end[0]) for one in lines if one.start[1] == one.end[1]]


def uprights(key: str) -> list[tuple[float, float, float]]:
    lines = of_layer(key, pictures.MEASURE, Line)
    return [(one.start[0], one.start[1], one.end[1]) for one in lines if one.start[0] == one.end[0]]


def test_every_reading_that_is_taken_somewhere_has_a_picture_and_nothing_else_has() -> None:
    assert {key for key in FIELDS if row_picture(key)} == set(SHOWN)


def test_no_two_readings_have_the_same_picture() -> None:
    assert len({view_of(key).primitives for key in SHOWN}) == len(SHOWN)


def test_each_picture_lies_in_the_row_of_its_reading_and_inside_its_cell(blank: Path) -> None:
    book = openpyxl.load_workbook(blank)
    page = book["Survey"]
    root = etree.fromstring(zipfile.ZipFile(blank).read(PART))
    rows = {}
    for anchor in root:
        left, down = (int(anchor.findtext(f"{XDR}from/{XDR}{name}")) / 36_000 for name in ("colOff", "rowOff"))
        row = int(anchor.findtext(f"{XDR}from/{XDR}row")) + 1
        wide, high = (int(anchor.find(f"{XDR}ext").get(name)) / 36_000 for name in ("cx", "cy"))
        assert left >= 0 and left + wide <= look.PICTURE_WIDTH_MM
        assert down >= 0 and down + high <= page.row_dimensions[row].height * 25.4 / 72
        rows[anchor.find(f"{XDR}grpSp/{XDR}nvGrpSpPr/{XDR}cNvPr").get("descr")] = row
    fields = [field for field in all_fields(1) if reading_of(field) in SHOWN]
    places = {field.label: book.defined_names[field.key].attr_text.rpartition("$")[2] for field in fields}
    assert {label: str(row) for label, row in rows.items()} == places


def test_label_answers_and_picture_are_in_sight_on_a_tablet(blank: Path) -> None:
    """A column of w figures is 7 w + 5 dots wide in a font whose figures have 7 (ECMA-376-1, 18.3.1.13)."""
    page = openpyxl.load_workbook(blank)["Survey"]
    widths = [page.column_dimensions[letter].width for letter in "ABCDEFGH"]
    assert HEADING + sum(7 * width + 5 for width in widths) <= TABLET


def test_another_library_finds_every_part_where_the_format_wants_it(blank: Path) -> None:
    root = etree.fromstring(zipfile.ZipFile(blank).read(PART))
    drawing = SpreadsheetDrawing.from_tree(root)
    assert [anchor.groupShape is not None for anchor in drawing.oneCellAnchor] == [True] * len(SHOWN)
    numbers = [one.get("id") for one in root.iter(f"{XDR}cNvPr")]
    assert len(numbers) == len(set(numbers))


def test_the_span_goes_from_outer_edge_to_outer_edge() -> None:
    edges = heads("span")
    assert readings("span") == [(edges[0][0], edges[-1][1])]


@pytest.mark.parametrize(("key", "first"), [("run", 2), ("run_end", 3)])
def test_a_run_goes_over_seven_spaces(key: str, first: int) -> None:
    """Of ten heads the main run begins at the second, floor((10 - 8) / 2) + 1; the other ends at the treble end."""
    lefts = [left for left, _ in heads(key)]
    assert len(lefts) == 10
    assert readings(key) == [(lefts[first - 1], lefts[first + 6])]


def test_screws_have_three_and_seven_heads_above_them() -> None:
    crosses = of_layer("screws", pictures.SCREW, Line)
    xs = sorted({round((one.start[0] + one.end[0]) / 2, 3) for one in crosses})
    assert [sum(left > x for left, _ in heads("screws")) for x in xs] == [7, 3]


def test_rooms_and_gap_go_from_the_outer_heads_to_what_is_next_to_them() -> None:
    low, high, gap = heads("room_low"), heads("room_high"), heads("gap_next")
    ((plate, first),), ((last, other),), (between,) = readings("room_low"), readings("room_high"), readings("gap_next")
    assert (first, last) == (low[0][0], high[-1][1])
    assert plate < first and last < other
    assert between == (gap[3][1], gap[4][0])


@pytest.mark.parametrize(("low", "high"), [("gauge_low", "gauge_high"), ("rest_low", "rest_high")])
def test_heights_are_shown_under_the_first_and_the_last_string(low: str, high: str) -> None:
    strings = sorted(one.centre[0] for one in of_layer(low, pictures.WIRE, Circle))
    for key, string in ((low, strings[0]), (high, strings[-1])):
        ((x, bottom, top),) = uprights(key)
        assert abs(x - string) < 2.0 and bottom < top
    if low == "gauge_low":
        (block,) = of_layer(low, pictures.BLOCK, Polyline)
        ((_, bottom, top),) = uprights(low)
        ys = [y for _, y in block.points]
        assert (min(ys), max(ys)) == (bottom, top)  # the block is what is read, and stays clear of the string
        assert max(ys) < min(one.centre[1] for one in of_layer(low, pictures.WIRE, Circle)) - 0.3


@pytest.mark.parametrize(("key", "at"), [("hole_offset_low", 0), ("hole_offset_high", -1)])
def test_a_hole_out_of_line_is_shown_at_its_end_towards_the_keyboard(key: str, at: int) -> None:
    wires = sorted(one.centre for one in of_layer(key, pictures.WIRE, Circle))
    line = {y for _, y in wires if y != wires[at][1]}
    assert len(line) == 1 and wires[at][1] < max(line)
    ((_, bottom, top),) = uprights(key)
    assert (bottom, top) == (wires[at][1], max(line))


@pytest.mark.parametrize(("key", "strings"), [("singles", 1), ("doubles", 2)])
def test_the_notes_counted_are_those_of_so_many_strings(key: str, strings: int) -> None:
    """Three singles, three doubles, and triples: 3 + 6 + 4 x 3 strings."""
    assert len(of_layer(key, pictures.WIRE, Circle)) == 21
    counted = [one.at[0] for one in view_of(key).primitives if hasattr(one, "text")]
    near = [sum(abs(c.centre[0] - x) < 1.3 for c in of_layer(key, pictures.WIRE, Circle)) for x in counted]
    assert near == [strings] * 3
