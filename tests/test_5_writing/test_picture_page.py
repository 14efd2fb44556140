"""The survey workbook's page of pictures: it shows readings as they are taken, and harms nothing else."""

from __future__ import annotations

import math
import shutil
import subprocess
import zipfile
from itertools import combinations, pairwise
from pathlib import Path

import openpyxl
import pytest
from lxml import etree
from openpyxl.drawing.spreadsheet_drawing import SpreadsheetDrawing

from printed_pages import MEASURE, marks_of, page_count
from railwright.reading.survey import read_survey
from railwright.survey.fields import INSTRUMENT_FIELDS, SECTION_FIELDS
from railwright.writing.blank_look import help_of
from railwright.writing.blank_pictures import with_pictures
from railwright.writing.blank_survey import write_blank
from railwright.writing.drawings import survey_pictures as pictures
from railwright.writing.drawings.primitives import Length, Line, Placed, Polyline, Primitive, Sheet, Text, View
from railwright.writing.drawings.shapes import render_shapes
from railwright.writing.patching.flag_copy import flag_copy
from railwright.writing.patching.flags import FindingsSheet, Flag

XDR = "{http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing}"
A = "{http://schemas.openxmlformats.org/drawingml/2006/main}"
PART, BESIDE = "xl/drawings/drawing2.xml", "xl/drawings/drawing1.xml"
FIELDS = {field.key: field for field in (*INSTRUMENT_FIELDS, *SECTION_FIELDS)}
#: Where a picture does not bear the reading's whole name, the part of it that it bears.
SHORT = {
    "dampers": "count",
    "angle_2": "String angle",
    "gauge_low": "Clear gauge",
    "gauge_high": "Clear gauge",
    "rest_low": "Gap at rest",
    "rest_high": "Gap at rest",
    "ledge_front": "in front of the wires",
    "ledge_rear": "behind the wires",
    "hole_low": "hole out of line",
    "hole_high": "hole out of line",
    "hole_offset_high": "hole: by how much",
}


@pytest.fixture(scope="module")
def blank(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("blank") / "blank.xlsx"
    write_blank(path, "in", 4)
    return path


def views() -> list[View]:
    return [placed.view for placed in pictures.survey_pictures().views]


def words(view: View) -> list[str]:
    return [one.text for one in view.primitives if isinstance(one, Text)]


def of_layer(view: View, layer: object, kind: type) -> list[Primitive]:
    return [one for one in view.primitives if isinstance(one, kind) and one.layer == layer]


def head_edges(view: View) -> list[tuple[float, float]]:
    xs = [[x for x, _ in one.points] for one in of_layer(view, pictures.HEAD, Polyline)]
    return sorted((min(some), max(some)) for some in xs)


@pytest.mark.parametrize("key", pictures.PICTURE_OF)
def test_the_picture_that_a_row_names_shows_its_reading(key: str) -> None:
    view = views()[pictures.PICTURE_OF[key] - 1]
    assert view.title.startswith(f"{pictures.PICTURE_OF[key]} ")
    name = SHORT.get(key, FIELDS[key].label)
    label = FIELDS[key].label.lower().replace(",", "").split()
    assert set(name.lower().replace(",", "").split()) <= {*label, "count"}
    assert any(name.lower() in text.lower() for text in words(view))


def test_a_row_tells_its_picture_and_one_without_a_picture_tells_none() -> None:
    assert help_of(FIELDS["span"].in_section(3)).endswith(" Larger:\u00a0picture\u00a01.")
    assert help_of(FIELDS["top_reach"]).endswith(" Larger:\u00a0picture\u00a07.")
    assert "picture" not in help_of(FIELDS["site"])


def test_the_span_goes_from_the_outer_edge_to_the_outer_edge_of_the_numbered_heads() -> None:
    view = pictures.section_view()
    edges = head_edges(view)[:12]
    reading = [(one.start[0], one.end[0]) for one in of_layer(view, pictures.MEASURE, Line)]
    assert (edges[0][0], edges[-1][1]) in reading
    assert [text for text in words(view) if text.isdigit()].count("12") == 1


def test_a_run_goes_over_seven_spaces_between_bass_side_edges() -> None:
    """The main run of twelve heads begins at the third, floor((12 - 8) / 2) + 1; the second at the treble end."""
    view = pictures.section_view()
    lefts = [left for left, _ in head_edges(view)[:12]]
    reading = [(one.start[0], one.end[0]) for one in of_layer(view, pictures.MEASURE, Line)]
    assert (lefts[2], lefts[9]) in reading and (lefts[4], lefts[11]) in reading
    counted = [one.text for one in view.primitives if isinstance(one, Text) and one.layer == pictures.MEASURE]
    assert counted == ["1", *map(str, range(1, 8)), *map(str, range(1, 8))]  # the picture's own number goes first


def test_screws_have_as_many_heads_above_them_as_the_picture_says() -> None:
    view = pictures.screws_view()
    heads = head_edges(view)
    screws = sorted(sum(x for x, _ in one.points[:2]) / 2 for one in of_layer(view, pictures.SCREW, Polyline))
    assert [sum(left > screw for left, _ in heads) for screw in screws] == [7, 3]
    assert "Guide-rail screws, here 3; 7" in words(view)


def test_angles_are_drawn_as_large_as_they_are_written() -> None:
    view = pictures.angle_view()
    slopes = [
        math.degrees(math.atan2(one.end[1] - one.start[1], one.end[0] - one.start[0]))
        for one in of_layer(view, pictures.READ, Line)
    ]
    assert slopes == pytest.approx([72.0, 102.0])
    assert {"72", "102"} <= set(words(view))


def test_the_gauge_block_stays_clear_of_the_string_on_its_widest_swing() -> None:
    view = pictures.heights_view()
    (swing,), (block,) = of_layer(view, pictures.SWING, Polyline), of_layer(view, pictures.BLOCK, Polyline)
    top = max(y for _, y in block.points)
    assert min(y for _, y in swing.points) - top > 0.3


def boxes(view: View) -> list[tuple[str, float, float, float, float]]:
    """Give every text's box, letters taken as 0.5 of their height wide on the average."""
    found = []
    for text in (one for one in view.primitives if isinstance(one, Text)):
        wide, half = (0.55 if text.bold else 0.5) * text.height_mm * len(text.text), text.height_mm / 2.0
        left = text.at[0] - {"start": 0.0, "middle": wide / 2.0, "end": wide}[text.anchor]
        found.append((text.text, left, text.at[1] - half, left + wide, text.at[1] + half))
    return found


@pytest.mark.parametrize("number", range(1, 8))
def test_no_words_overlap_or_leave_their_frame(number: int) -> None:
    view = views()[number - 1]
    (frame,) = of_layer(view, pictures.FRAME, Polyline)
    wide, high = frame.points[2]
    placed = boxes(view)
    assert [one for one in placed if one[1] < 0 or one[2] < 0 or one[3] > wide or one[4] > high] == []
    clashes = [
        (a[0], b[0]) for a, b in combinations(placed, 2) if a[1] < b[3] and b[1] < a[3] and a[2] < b[4] and b[2] < a[4]
    ]
    assert clashes == []


def test_frames_stay_apart_and_on_the_sheet() -> None:
    sheet = pictures.survey_pictures()
    frames = []
    for placed in sheet.views:
        (frame,) = of_layer(placed.view, pictures.FRAME, Polyline)
        (x, y), (wide, high) = placed.origin, frame.points[2]
        frames.append((x, y, x + wide, y + high))
    assert all(a >= 0 and b >= 0 and c <= sheet.width_mm and d <= sheet.height_mm for a, b, c, d in frames)
    assert not [1 for a, b in combinations(frames, 2) if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]]


def test_the_drawing_is_well_formed_with_a_description_for_each_picture(blank: Path) -> None:
    root = etree.fromstring(zipfile.ZipFile(blank).read(PART))
    groups = root.findall(f"{XDR}absoluteAnchor/{XDR}grpSp/{XDR}nvGrpSpPr/{XDR}cNvPr")
    assert [group.get("descr") for group in groups] == [view.title for view in views()]
    numbers = [one.get("id") for one in root.iter(f"{XDR}cNvPr")]
    assert len(numbers) == len(set(numbers))
    assert all(int(off.get(axis)) >= 0 for off in root.iter(f"{A}off") for axis in "xy")


def test_another_library_finds_the_parts_of_the_drawing_where_the_format_wants_them(blank: Path) -> None:
    """openpyxl checks names, kinds and required parts of every element that it reads, and refuses unknown ones."""
    drawing = SpreadsheetDrawing.from_tree(etree.fromstring(zipfile.ZipFile(blank).read(PART)))
    assert [anchor.groupShape is not None for anchor in drawing.absoluteAnchor] == [True] * 7


def test_every_line_stays_within_its_shape(blank: Path) -> None:
    root = etree.fromstring(zipfile.ZipFile(blank).read(PART))
    for path in root.iter(f"{A}path"):
        wide, high = int(path.get("w")), int(path.get("h"))
        assert all(0 <= int(pt.get("x")) <= wide and 0 <= int(pt.get("y")) <= high for pt in path.iter(f"{A}pt"))


def simple(*primitives: Primitive) -> Sheet:
    return Sheet(100.0, 100.0, "t", "", (Placed(View("v", primitives), 2.0, (10.0, 20.0)),))


def test_a_line_lies_where_the_model_puts_it() -> None:
    """From (1, 2) to (4, 6) at 2:1 from (10, 20) is (12, 24) to (18, 32), 68 to 76 mm down a sheet of 100 mm."""
    root = etree.fromstring(render_shapes(simple(Line((1.0, 2.0), (4.0, 6.0), pictures.EDGE)), 5.0, 7.0))
    off, ext = root.find(f".//{XDR}sp//{A}off"), root.find(f".//{XDR}sp//{A}ext")
    assert [int(off.get(axis)) / 36_000 for axis in "xy"] == [17.0, 75.0]
    assert [int(ext.get(axis)) / 36_000 for axis in ("cx", "cy")] == [6.0, 8.0]
    assert [(int(pt.get("x")), int(pt.get("y"))) for pt in root.iter(f"{A}pt")] == [(0, 288_000), (216_000, 0)]


def test_a_dimension_is_drawn_with_its_figure() -> None:
    text = render_shapes(simple(Length(0.0, 12.5, 0.0, 5.0, pictures.EDGE, "long")), 0.0, 0.0).decode()
    assert "<a:t>12.5 long</a:t>" in text


def test_words_are_escaped_and_empty_ones_left_out() -> None:
    sheet = simple(Text((1.0, 1.0), '<&"', pictures.WORDS), Text((1.0, 1.0), "", pictures.WORDS))
    root = etree.fromstring(render_shapes(sheet, 9.0, 9.0))
    assert [one.text for one in root.iter(f"{A}t")] == ['<&"']


def test_what_office_programs_would_leave_out_is_refused() -> None:
    with pytest.raises(ValueError, match="beyond the page's edge"):
        render_shapes(simple(Line((-9.0, 0.0), (1.0, 1.0), pictures.EDGE)), 0.0, 0.0)


def test_a_sheet_that_has_a_drawing_already_is_refused(blank: Path) -> None:
    """Legacy drawings, tables and extensions stand behind a drawing in a sheet (ECMA-376-1, 18.3.1.99)."""
    copy = blank.with_name("legacy.xlsx")
    with zipfile.ZipFile(blank) as source, zipfile.ZipFile(copy, "w") as target:
        for name in source.namelist():
            content = source.read(name)
            target.writestr(name, content.replace(b"</worksheet>", b'<legacyDrawing r:id="rId9"/></worksheet>'))
    with pytest.raises(ValueError, match="where a drawing may stand"):
        with_pictures(copy.read_bytes(), {2: b""})


def test_the_survey_is_read_as_before(blank: Path) -> None:
    survey, troubles = read_survey(blank, "blank.xlsx")
    assert troubles == [] and survey.unit == "in"
    book = openpyxl.load_workbook(blank)
    assert book.sheetnames[:3] == ["Survey", "Where to measure", "Photos and remarks"]
    assert book["Where to measure"].protection.sheet


def test_a_flagged_copy_keeps_the_pictures(blank: Path) -> None:
    target = blank.with_name("flagged.xlsx")
    assert flag_copy(blank, target, [Flag("Survey", "B17", "fix", "the span is missing")], FindingsSheet("One")) == []
    before, after = zipfile.ZipFile(blank), zipfile.ZipFile(target)
    for name in (PART, BESIDE, "xl/worksheets/sheet2.xml", "xl/worksheets/_rels/sheet2.xml.rels"):
        assert after.read(name) == before.read(name)
    assert b"drawing1.xml" in after.read("xl/worksheets/_rels/sheet1.xml.rels")
    assert PART.encode() in after.read("[Content_Types].xml")


def test_the_same_blank_has_the_same_bytes(blank: Path, tmp_path: Path) -> None:
    write_blank(tmp_path / "again.xlsx", "in", 4)
    assert (tmp_path / "again.xlsx").read_bytes() == blank.read_bytes()


@pytest.mark.skipif(not (shutil.which("soffice") and MEASURE), reason="needs LibreOffice and poppler")
def test_an_office_program_prints_the_pictures_on_one_page_and_unstretched(blank: Path, tmp_path: Path) -> None:
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    command = ["soffice", profile, "--headless", "--convert-to", "pdf", "--outdir", str(tmp_path), str(blank)]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    pdf = tmp_path / "blank.pdf"
    assert page_count(pdf) == 4
    marks = marks_of(pdf, 2, tmp_path)
    outside = [m for m in marks if m.stroke == pictures.FRAME.colour.removeprefix("#")]
    assert len(outside) == 7
    first = max(outside, key=lambda m: m.right - m.left)
    scale = (first.right - first.left) / pictures.WIDTH
    assert scale > 0.8
    assert (first.bottom - first.top) / scale == pytest.approx(66.0, abs=0.3)
    assert min(m.left for m in outside) > 8.0 and max(m.right for m in outside) < 210.0 - 8.0
    block = [m for m in marks if m.fill == pictures.BLOCK.fill.removeprefix("#")]
    assert [(m.right - m.left) / scale for m in block] == pytest.approx([28.0], abs=0.3)


def test_spaces_of_a_run_are_even() -> None:
    lefts = [left for left, _ in head_edges(pictures.section_view())[:12]]
    assert [b - a for a, b in pairwise(lefts)] == pytest.approx([9.0] * 11)
