"""Flagged copies of OpenDocument spreadsheets differ from their source in the flags and in nothing else."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import openpyxl
import pytest

from open_document_kit import content, flat, gap, number, packed, row, survey, table
from railwright.reading.workbook import read_workbook
from railwright.writing.patching.flag_copy import flag_copy
from railwright.writing.patching.flags import FindingRow, FindingsSheet, Flag
from railwright.writing.patching.marks import FILLS, FLAG_NAME, MARK
from week_of_samples import SAMPLES
from workbook_kit import members, saved

FLAGS = [
    Flag("S 1", "B2", "confirm", "the run looks like eight spaces", "C2", "read the run again"),
    Flag("S 1", "B2", "fix", "=the span\nis missing"),
    Flag("S 1", "B7", "note", "@optional, left blank"),
]
LIST = FindingsSheet("Three findings", [FindingRow(f.severity, f.sheet, f.cell, "Span", f.note) for f in FLAGS])
NOTHING = FindingsSheet("No findings")
OFFICE = shutil.which("soffice")
SAMPLE = SAMPLES / "vennick" / "K-4204.xlsx"


def flagged(tmp_path, data: bytes, flags=FLAGS, rows=LIST):
    source, target = saved(tmp_path, data, "source.ods"), tmp_path / "copy.ods"
    problems = flag_copy(source, target, flags, rows)
    assert source.read_bytes() == data
    return target, problems


def test_only_the_content_changes(tmp_path):
    target, problems = flagged(tmp_path, survey())
    before, after = members(tmp_path / "source.ods"), members(target)
    assert problems == []
    assert [name for name in after if before.get(name) != after[name]] == ["content.xml"]
    assert list(before) == list(after)


def test_a_second_run_gives_the_same_file(tmp_path):
    first, _ = flagged(tmp_path, survey())
    flag_copy(first, tmp_path / "second.ods", FLAGS, LIST)
    assert (tmp_path / "second.ods").read_bytes() == first.read_bytes()


def test_cells_remarks_and_list_are_written_as_text(tmp_path):
    book = read_workbook(flagged(tmp_path, survey())[0])
    assert book.cell("S 1", "B2").value == 308.5
    assert book.cell("S 1", "C2").value == "Confirm: read the run again [railwright]"
    assert book.cell("S 1", "A7").kind == "blank"
    assert book.cell("Findings", "E5").value == "=the span\nis missing"
    assert b"table:formula" not in members(tmp_path / "copy.ods")["content.xml"]
    assert sorted(name for name in book.names if name.startswith(FLAG_NAME)) == [f"{FLAG_NAME}1", f"{FLAG_NAME}2"]


def test_corrected_cells_lose_their_flags(tmp_path):
    first, _ = flagged(tmp_path, survey())
    assert flag_copy(first, tmp_path / "clean.ods", [], NOTHING) == []
    content_before = members(tmp_path / "source.ods")["content.xml"].decode()
    content_after = members(tmp_path / "clean.ods")["content.xml"].decode()
    sheets = content_after[: content_after.index('table:name="Findings"')]
    assert MARK not in sheets
    assert "annotation" not in sheets
    assert sheets.count('table:style-name="ce1"') == content_before.count('table:style-name="ce1"')
    source, clean = read_workbook(tmp_path / "source.ods"), read_workbook(tmp_path / "clean.ods")
    assert [list(clean.cells(name)) for name in ("S 1", "Other")] == [
        list(source.cells(name)) for name in ("S 1", "Other")
    ]


def test_one_cell_is_cut_out_of_a_run(tmp_path):
    rows = row(gap(5), number("1"), repeated=3) + row(number("9"))
    target, _ = flagged(tmp_path, packed(content(table(rows))), [Flag("S 1", "C2", "fix", "x")])
    book = read_workbook(target)
    assert {ref: value.value for ref, value in book.cells("S 1")} == {"F1": 1, "F2": 1, "F3": 1, "A4": 9}
    assert members(target)["content.xml"].count(b"office:annotation>") == 2


def test_a_cell_beyond_the_last_one_is_added(tmp_path):
    target, problems = flagged(
        tmp_path, packed(content(table(row(number("1"))))), [Flag("S 1", "D9", "fix", "x", "E9", "y")]
    )
    assert problems == []
    assert read_workbook(target).cell("S 1", "E9").value == "Fix: y [railwright]"


def test_a_remark_never_replaces_what_somebody_wrote(tmp_path):
    flags = [Flag("S 1", "B7", "fix", "x", "B2", "y")]
    target, problems = flagged(tmp_path, survey(), flags)
    assert len(problems) == 1
    assert read_workbook(target).cell("S 1", "B2").value == 308.5


def test_a_note_of_the_technician_is_kept_and_added_to(tmp_path):
    note = "<office:annotation><dc:creator>A. T.</dc:creator><text:p>read twice</text:p></office:annotation>"
    cell = f'<table:table-cell office:value-type="float" office:value="7">{note}<text:p>7</text:p></table:table-cell>'
    target, _ = flagged(tmp_path, packed(content(table(row(cell)))), [Flag("S 1", "A1", "fix", "x")])
    written = members(target)["content.xml"].decode()
    assert "read twice</text:p><text:p>Fix: x [railwright]</text:p></office:annotation>" in written
    flag_copy(target, tmp_path / "clean.ods", [], NOTHING)
    assert note in members(tmp_path / "clean.ods")["content.xml"].decode()


def test_an_answer_beside_the_list_is_handed_over(tmp_path):
    target, _ = flagged(tmp_path, survey())
    parts = members(target)
    answer = '<table:table-cell office:value-type="string"><text:p>it is seven</text:p></table:table-cell>'
    start = parts["content.xml"].decode().index('table:name="Findings"')
    text = parts["content.xml"].decode()
    run = '<table:table-cell table:number-columns-repeated="20"/>'
    at = text.index(run, start)
    changed = text[:at] + answer + run.replace("20", "19") + text[at + len(run) :]
    returned = saved(tmp_path, packed(changed), "returned.ods")
    problems = flag_copy(returned, tmp_path / "second.ods", FLAGS, LIST)
    assert problems == ["Sheet 'Findings' held an answer in F3: 'it is seven'."]


def test_a_broken_signature_is_named(tmp_path):
    data = packed(content(table(row(number("1")))), **{"META-INF/documentsignatures__xml": b"<s/>"})
    assert len(flagged(tmp_path, data, [])[1]) == 1


@pytest.mark.parametrize("text", ["<b>&\"'", "a\x00b\x0b", "\ud800 \ufffe", "é 大阪 😀", "]]>"])
def test_any_text_makes_a_whole_file(tmp_path, text):
    rows = FindingsSheet(text, [FindingRow("note", text, "B2", text, text)])
    target, _ = flagged(tmp_path, survey(), [Flag("S 1", "B2", "fix", text, "C2", text)], rows)
    assert read_workbook(target).cell("Findings", "C4").value == "B2"


@pytest.fixture(scope="module")
def returned(tmp_path_factory) -> dict[str, Path]:
    """A flagged survey that the office program saved again, and what it makes of the flagged and the cleaned one."""
    if OFFICE is None:
        pytest.skip("no office program here")
    folder = tmp_path_factory.mktemp("office")

    def convert(kind: str, *sources: Path) -> Path:
        profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
        command = [str(OFFICE), profile, "--headless", "--convert-to", kind, "--outdir", str(folder / kind)]
        subprocess.run([*command, *map(str, sources)], check=True, capture_output=True, timeout=120)
        return folder / kind

    note = "<office:annotation><dc:creator>A. T.</dc:creator><text:p>read twice</text:p></office:annotation>"
    cell = number("308.5", "ce1").replace("<text:p>", note + "<text:p>", 1)
    rows = row(gap(1024)) + row(gap(1), cell) + row(gap(1024), repeated=4) + row(gap(1), gap(1, "ce1"))
    source = saved(folder, packed(content(table(rows) + table(row(number("617")), "Other"))), "source.ods")
    flag_copy(source, folder / "flagged.ods", FLAGS, LIST)
    (folder / "flat.fods").write_text(flat(), encoding="utf-8")
    saved_again = convert("ods", folder / "flagged.ods", folder / "flat.fods", SAMPLE)
    again = saved_again / "flagged.ods"
    flag_copy(again, folder / "clean.ods", [], NOTHING)
    shown = convert("xlsx", folder / "flagged.ods", folder / "clean.ods")
    own = {name: saved_again / f"{name}.ods" for name in ("flat", SAMPLE.stem)}
    return own | {"again": again, "flagged": shown / "flagged.xlsx", "clean": shown / "clean.xlsx"}


@pytest.mark.parametrize("name", ["flat", SAMPLE.stem])
def test_of_what_the_office_program_saved_only_the_content_changes(returned, tmp_path, name):
    source = returned[name]
    flags = [Flag(read_workbook(source).sheets[0].name, cell, "fix", "read it again") for cell in ("B2", "B7")]
    assert flag_copy(source, tmp_path / "first.ods", flags, LIST) == []
    before, after = members(source), members(tmp_path / "first.ods")
    assert list(before) == list(after)
    assert [member for member in before if before[member] != after[member]] == ["content.xml"]
    flag_copy(tmp_path / "first.ods", tmp_path / "second.ods", flags, LIST)
    assert (tmp_path / "second.ods").read_bytes() == (tmp_path / "first.ods").read_bytes()


def test_the_office_program_shows_the_flags(returned):
    sheet = openpyxl.load_workbook(returned["flagged"])["S 1"]
    assert sheet["B2"].fill.fgColor.rgb == "FF" + FILLS["fix"]
    assert sheet["B2"].comment.text.startswith("read twice\nFix: =the span is missing [railwright]\nConfirm: ")
    assert sheet["C2"].value == "Confirm: read the run again [railwright]"


def test_flags_are_replaced_after_the_office_program_saved_them(returned, tmp_path):
    assert flag_copy(returned["again"], tmp_path / "second.ods", FLAGS, LIST) == []
    text = members(tmp_path / "second.ods")["content.xml"].decode()
    assert text[: text.index('table:name="Findings"')].count(MARK) == 4
    assert [sheet.name for sheet in read_workbook(tmp_path / "second.ods").sheets] == ["S 1", "Other", "Findings"]


def test_corrected_cells_get_their_former_look_after_the_office_program_saved_them(returned):
    sheet = openpyxl.load_workbook(returned["clean"])["S 1"]
    assert sheet["B2"].fill.fgColor.rgb == "FFFFFF99"
    assert sheet["B2"].comment.text == "read twice"
    assert sheet["B7"].comment is None
    assert sheet["C2"].value is None
