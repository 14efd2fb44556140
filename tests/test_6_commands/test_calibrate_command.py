import json

import numpy as np
import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

from railwright.cli import main
from railwright.reading.confirmed_wires import read_confirmed_wires
from railwright.reading.survey import read_survey
from railwright.survey.confirmed import wires_name
from railwright.writing.blank_survey import write_blank
from railwright.writing.blank_wires import ROWS


def fitted(path, *columns, unit="mm", step="1"):
    """A survey workbook whose table of wires has its columns filled from the top."""
    write_blank(path, unit, sections=3)
    book = load_workbook(path)
    sheet, cell = next(book.defined_names["reading_step"].destinations)
    book[sheet][cell.replace("$", "").split(":")[0]] = step
    for section, values in enumerate(columns, start=1):
        sheet, area = next(book.defined_names[wires_name(section)].destinations)
        for (target,), value in zip(book[sheet][area.replace("$", "")], values, strict=False):
            target.value = value
    book.save(path)
    return path


@pytest.fixture(scope="module")
def week(tmp_path_factory):
    """Three surveys of three fitted sections of 22 wires, about 14.3 mm apart."""
    folder, rng = tmp_path_factory.mktemp("week"), np.random.default_rng(1)
    for number in range(3):
        columns = [np.cumsum(np.r_[4.0, rng.normal(pitch, 0.2, 21)]) for pitch in rng.normal(14.3, 0.5, 3)]
        fitted(folder / f"{number}.xlsx", *([f"{x:.0f}" for x in column] for column in columns))
    return folder


def test_wires_are_read_back(tmp_path):
    found, troubles = read_confirmed_wires(fitted(tmp_path / "a.xlsx", ["0", "13.5", None, "41", 55]), "a.xlsx")
    assert troubles == []
    assert [(each.section, each.x_mm, each.step_mm) for each in found] == [(1, (0.0, 13.5, None, 41.0, 55.0), 1.0)]


def test_inches_are_read_as_inches(tmp_path):
    path = fitted(tmp_path / "a.xlsx", [], ["1/8", "5/8", "1 1/8"], unit="in", step="1/8")
    found, _ = read_confirmed_wires(path, "a.xlsx")
    assert [(each.section, each.x_mm) for each in found] == [(2, (3.175, 15.875, 28.575))]


@pytest.mark.parametrize("values", [["4", "oak", "31"], ["4", "18", "18"], ["4", "18", "17"]])
def test_a_section_with_a_wire_that_cannot_be_is_left_out_and_named(tmp_path, values):
    found, troubles = read_confirmed_wires(fitted(tmp_path / "a.xlsx", values, ["4", "18", "32"]), "a.xlsx")
    assert [each.section for each in found] == [2]
    assert len(troubles) == 1 and troubles[0].startswith("a.xlsx, ")


def test_an_empty_table_is_nothing(tmp_path):
    assert read_confirmed_wires(fitted(tmp_path / "a.xlsx"), "a.xlsx") == ([], [])


def test_a_workbook_without_the_table_is_nothing(tmp_path):
    path = fitted(tmp_path / "a.xlsx", ["4", "18", "32"])
    book = load_workbook(path)
    for section in (1, 2, 3):
        del book.defined_names[wires_name(section)]
    book.save(path)
    assert read_confirmed_wires(path, "a.xlsx") == ([], [])


def test_the_table_does_not_disturb_the_survey(tmp_path):
    survey, troubles = read_survey(fitted(tmp_path / "a.xlsx", ["4", "18", "32"]), "a.xlsx")
    assert troubles == [] and survey.unit == "mm"


def test_the_table_holds_forty_wires(tmp_path):
    path = fitted(tmp_path / "a.xlsx", [str(14 * i) for i in range(ROWS)])
    assert len(read_confirmed_wires(path, "a.xlsx")[0][0].x_mm) == 40


def test_a_proposal_with_its_uncertainty(week):
    before = {path: path.read_bytes() for path in week.iterdir()}
    result = CliRunner().invoke(main, ["calibrate", str(week), "--json"])
    assert result.exit_code == 0
    facts = json.loads(result.stdout)
    pitch = facts["proposals"][0]
    assert (facts["sections"], facts["wires"]) == (9, 9 * 22)
    assert pitch["key"] == "pitch" and abs(pitch["value"] - 14.3) < 3 * pitch["u"] < 1.0
    assert before == {path: path.read_bytes() for path in week.iterdir()}


def test_the_same_in_words(week):
    result = CliRunner().invoke(main, ["calibrate", str(week)])
    assert result.exit_code == 0
    assert "198 confirmed wires in 9 sections of 3 surveys." in result.stdout
    assert "Nothing was changed." in result.stdout


def test_a_spread_that_is_not_told_from_none_is_said_to_be_too_unsure(week):
    """Three surveys read to a millimetre tell the pitch, but not a scatter of a fifth of that."""
    proposals = json.loads(CliRunner().invoke(main, ["calibrate", str(week), "--json"]).stdout)["proposals"]
    lines = CliRunner().invoke(main, ["calibrate", str(week)]).stdout.splitlines()
    keys = {p["key"] for p in proposals}
    told = {line.split()[0]: "too unsure to use" in line for line in lines if line.split() and line.split()[0] in keys}
    assert all(line.isascii() for line in lines)
    assert told == {p["key"]: p["key"] != "pitch" and p["value"] < 2 * p["u"] for p in proposals}
    assert any(told.values()) and not told["pitch"]


def test_too_little_to_go_by(tmp_path):
    fitted(tmp_path / "a.xlsx", ["4", "18", "32"])
    result = CliRunner().invoke(main, ["calibrate", str(tmp_path)])
    assert result.exit_code == 3
    assert "at least 3 sections are needed, not 1" in result.output


def test_what_is_no_survey_is_named_and_passed_over(tmp_path):
    (tmp_path / "note.xlsx").write_text("no workbook")
    result = CliRunner().invoke(main, ["calibrate", str(tmp_path)])
    assert result.exit_code == 3
    assert result.stderr.startswith("note.xlsx: ")


def test_blanks_in_the_table_are_blank(tmp_path):
    assert read_confirmed_wires(fitted(tmp_path / "a.xlsx", ["  ", " "]), "a.xlsx") == ([], [])


def test_no_folder_given():
    assert CliRunner().invoke(main, ["calibrate"]).exit_code == 2
