"""Flagged copies that an office program opened and saved, which renumbers and moves everything in the file.

The program is LibreOffice where it is installed; elsewhere these tests are left out.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import openpyxl
import pytest

from feature_books import BOOKS
from open_document_kit import flat
from railwright.reading.workbook import read_workbook
from railwright.writing.patching.flag_copy import flag_copy
from railwright.writing.patching.flags import FindingRow, FindingsSheet, Flag
from railwright.writing.patching.marks import FILLS, FLAG_NAME, MARK
from week_of_samples import SAMPLES
from workbook_kit import members, saved

OFFICE = shutil.which("soffice")
pytestmark = pytest.mark.skipif(OFFICE is None, reason="no office program here")

FLAGS = [
    Flag("S 1", "B2", "fix", "the span is missing", "C2", "measure again"),
    Flag("S 1", "B7", "note", "left blank"),
]
LIST = FindingsSheet("Two findings", [FindingRow(f.severity, f.sheet, f.cell, "Span", f.note) for f in FLAGS])
SAMPLE = SAMPLES / "vennick" / "K-4204.xlsx"
#: Never flagged before the program saves them: text box, picture, check box and note; a chart; a survey.
SAVED = ("flat", "by-openpyxl-source", SAMPLE.stem)
KINDS = ("plain", "notes", "printing", "strict", "streamed", "wide-sizes", "utf-16", "form-controls", "by-openpyxl")


@pytest.fixture(scope="module")
def returned(tmp_path_factory) -> dict[str, tuple[Path, Path]]:
    """Flag some books and have all of them saved again in one go, since starting the program takes seconds."""
    folder = tmp_path_factory.mktemp("office")
    for kind in KINDS:
        flag_copy(saved(folder, BOOKS[kind](), f"{kind}-source.xlsx"), folder / f"{kind}.xlsx", FLAGS, LIST)
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    (folder / "flat.fods").write_text(flat(), encoding="utf-8")
    files = [str(folder / f"{kind}.xlsx") for kind in KINDS]
    files += [str(folder / "flat.fods"), str(folder / "by-openpyxl-source.xlsx"), str(SAMPLE)]
    command = [str(OFFICE), profile, "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir"]
    subprocess.run([*command, str(folder / "saved"), *files], check=True, capture_output=True, timeout=120)
    return {kind: (folder / f"{kind}.xlsx", folder / "saved" / f"{kind}.xlsx") for kind in (*KINDS, *SAVED)}


MAY_CHANGE = re.compile(
    r"\[Content_Types\]\.xml|xl/workbook\.xml|xl/_rels/workbook\.xml\.rels|xl/styles\.xml|xl/worksheets/sheet1\.xml"
    r"|xl/worksheets/_rels/sheet1\.xml\.rels|xl/comments1\.xml|xl/drawings/vmlDrawing1\.vml"
)


@pytest.mark.parametrize("kind", SAVED)
def test_of_what_the_office_program_saved_only_the_named_parts_change(returned, tmp_path, kind):
    source = returned[kind][1]
    sheet = read_workbook(source).sheets[0].name
    flags = [Flag(sheet, cell, "confirm", "read it again", "C2", "read it again") for cell in ("B2", "B7")]
    assert set(flag_copy(source, tmp_path / "first.xlsx", flags, LIST)) <= {
        f"Cell C2 on sheet {sheet!r} holds text of its own, so it has no remark."
    }
    before, after = members(source), members(tmp_path / "first.xlsx")
    assert [name for name in before if after[name] != before[name] and not MAY_CHANGE.fullmatch(name)] == []
    assert len(before) > 10
    flag_copy(tmp_path / "first.xlsx", tmp_path / "second.xlsx", flags, LIST)
    assert (tmp_path / "second.xlsx").read_bytes() == (tmp_path / "first.xlsx").read_bytes()
    assert openpyxl.load_workbook(tmp_path / "first.xlsx").sheetnames[-1] == "Findings"


def test_the_office_program_saved_what_the_flat_file_has(returned):
    """So that the test above is about more than cells."""
    parts = members(returned["flat"][1])
    assert b"Read from the tail." in parts["xl/drawings/drawing1.xml"]
    assert {"xl/media/image1.png", "xl/comments1.xml"} <= set(parts)
    assert any("chart" in name for name in members(returned["by-openpyxl-source"][1]))


@pytest.mark.parametrize("kind", KINDS)
def test_the_office_program_shows_cells_fills_notes_and_list(returned, kind):
    sheet = openpyxl.load_workbook(returned[kind][1])["S 1"]
    assert sheet["B2"].value == 308.5
    assert sheet["B2"].fill.fgColor.rgb == "FF" + FILLS["fix"]
    assert sheet["B2"].comment.text.endswith("Fix: the span is missing [railwright]")
    assert sheet["C2"].value == "Fix: measure again [railwright]"
    assert openpyxl.load_workbook(returned[kind][1])["Findings"]["E5"].value == "left blank"


@pytest.mark.parametrize("kind", KINDS)
def test_flags_are_replaced_after_the_office_program_saved_them(returned, tmp_path, kind):
    problems = flag_copy(returned[kind][1], tmp_path / "second.xlsx", FLAGS, LIST)
    assert problems == []
    book = openpyxl.load_workbook(tmp_path / "second.xlsx")
    text = book["S 1"]["B2"].comment.text
    assert text.count(MARK) == 1
    assert book["S 1"]["C2"].value.count(MARK) == 1
    assert book.sheetnames == ["S 1", "Other", "Findings"]
    assert len([name for name in read_workbook(tmp_path / "second.xlsx").names if name.startswith(FLAG_NAME)]) == 2


@pytest.mark.parametrize("kind", KINDS)
def test_corrected_cells_get_their_former_look_after_the_office_program_saved_them(returned, tmp_path, kind):
    problems = flag_copy(returned[kind][1], tmp_path / "clean.xlsx", [], FindingsSheet("Nothing"))
    assert problems == []
    before = openpyxl.load_workbook(returned["plain"][0].with_name("plain-source.xlsx"))["S 1"]["B2"]
    after = openpyxl.load_workbook(tmp_path / "clean.xlsx")["S 1"]["B2"]
    assert after.fill.fgColor.rgb == before.fill.fgColor.rgb == "FFFFFF99"
    parts = members(tmp_path / "clean.xlsx").items()
    assert [name for name, content in parts if "comments" in name and MARK.encode() in content] == []
    note = after.comment
    assert (note.text if note else None) == ("A. Technician:\nread twice" if kind == "notes" else None)


def test_the_office_program_sizes_note_boxes_to_their_text(returned):
    """A line of text has a box about a line high and wide enough to read."""
    vml = members(returned["plain"][1])["xl/drawings/vmlDrawing1.vml"].decode()
    sizes = re.findall(r"width:([0-9.]+)pt;height:([0-9.]+)pt", vml)
    assert len(sizes) == 2
    assert all(100 < float(width) < 400 and 10 < float(height) < 100 for width, height in sizes)
