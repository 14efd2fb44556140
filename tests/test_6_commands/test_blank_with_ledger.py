"""Counts of earlier pianos stand beside those typed in: never before, and never in the technician's own cells."""

import openpyxl
import pytest
from click.testing import CliRunner

from ledger_kit import entered, piano
from live_checks import office_is_there, recalculated
from railwright.cli import main
from railwright.ledger.connection import opened
from railwright.reading.survey import read_survey
from railwright.writing.blank_checks import EARLIER_COUNTS
from railwright.writing.blank_workings import earlier_formula

HEADINGS = ["order_no", "technician", "needed_by", "maker", "model", "serial", "unit", "sections"]
JOBS = [
    ["N-1", "A. Person", "2031-04-09", "falk", "c-172", "S 99", "in", 3],
    ["N-2", "B. Person", "2031-04-10", "Falk", "C-180", "S 98", "mm", 2],
]


@pytest.fixture
def ledger(tmp_path):
    with opened(tmp_path / "l") as connection:
        entered(connection, *(known(f"R-{number}", 21, 300.0) for number in range(3)))
        entered(connection, *(known(f"Q-{number}", 20, 287.0) for number in range(2)))
    return tmp_path / "l"


def known(order, dampers, span_mm):
    return piano(order, s1_register="tenor", s1_dampers=dampers, s1_span=span_mm, s1_run=101.0)


def run(*args):
    return CliRunner().invoke(main, ["blank", *(str(arg) for arg in args)])


def written_as(kind, path):
    if kind == "csv":
        lines = [",".join(map(str, row)) for row in (HEADINGS, *JOBS)]
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        return path
    book = openpyxl.Workbook()
    for row in (HEADINGS, *JOBS):
        book.active.append(row)
    book.save(path)
    return path


def hints(path):
    page = openpyxl.load_workbook(path, data_only=True)["Survey"]
    rows = [row for row in range(1, page.max_row + 1) if page.cell(row, 1).value == EARLIER_COUNTS.label]
    return [[page.cell(row, column).value or "" for column in range(2, 5)] for row in rows]


def typed(path, target, **cells):
    book = openpyxl.load_workbook(path)
    for key, value in cells.items():
        sheet, cell = book.defined_names[key].attr_text.split("!")
        book[sheet.strip("'")][cell.replace("$", "")].value = value
    book.save(target)
    return target


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_a_job_list_of_either_kind_fills_in_who_what_and_when_and_no_count(tmp_path, ledger, kind):
    jobs = written_as(kind, tmp_path / f"jobs.{kind}")
    result = run("--jobs", jobs, "--ledger", ledger, "-o", tmp_path / "out")
    assert (result.exit_code, "In 1 of them counts are compared" in result.output) == (0, True)
    survey, _ = read_survey(tmp_path / "out" / "N-1.xlsx", "N-1.xlsx")
    told = (survey.technician, survey.needed_by.isoformat(), survey.maker, survey.model, survey.serial, survey.unit)
    assert told == ("A. Person", "2031-04-09", "falk", "c-172", "S 99", "in")
    assert {answer.value for key, answer in survey.answers.items() if key.startswith("s")} - {None} == {"S 99"}
    assert hints(tmp_path / "out" / "N-2.xlsx") == []


@pytest.mark.skipif(not office_is_there(), reason="LibreOffice is not installed")
def test_the_hint_comes_after_the_count_and_only_for_the_piano_that_was_ordered(tmp_path, ledger):
    # The independent authority is LibreOffice: it evaluates the formulas.
    run("--jobs", written_as("csv", tmp_path / "jobs.csv"), "--ledger", ledger, "-o", tmp_path / "out")
    blank = tmp_path / "out" / "N-1.xlsx"
    filled = [
        typed(blank, tmp_path / "untouched.xlsx"),
        typed(blank, tmp_path / "same.xlsx", s1_dampers=20, s2_dampers=9),
        typed(blank, tmp_path / "other.xlsx", s1_dampers=22),
        typed(blank, tmp_path / "another.xlsx", s1_dampers=22, model="C-190"),
    ]
    assert [hints(path)[0] for path in recalculated(filled, tmp_path)] == [
        ["", "", ""],
        ["as earlier ones", "", ""],
        ["earlier ones: 21 or 20 - count again", "", ""],
        ["", "", ""],
    ]


def test_without_a_ledger_or_without_earlier_ones_the_sheet_is_the_plain_one(tmp_path, ledger):
    jobs = written_as("csv", tmp_path / "jobs.csv")
    run("--jobs", jobs, "-o", tmp_path / "plain")
    run("--jobs", jobs, "--ledger", ledger, "-o", tmp_path / "known")
    plain, known_ = ((tmp_path / folder / "N-2.xlsx").read_bytes() for folder in ("plain", "known"))
    assert plain == known_
    assert hints(tmp_path / "plain" / "N-1.xlsx") == []


def test_a_section_of_which_nothing_is_known_says_nothing():
    assert earlier_formula(3, (), "$B$1", "$C$1") == '""'


@pytest.mark.parametrize(
    "args, status, words",
    [
        (["--ledger", "l", "-o", "a.xlsx"], 2, "goes with --jobs"),
        (["--jobs", "jobs.csv", "--ledger", "jobs.csv", "-o", "out"], 3, "no ledger of railwright"),
        (["--jobs", "jobs.csv", "--ledger", "missing", "-o", "out"], 2, "does not exist"),
    ],
)
def test_what_cannot_be_done_is_told_and_nothing_written(tmp_path, ledger, monkeypatch, args, status, words):
    monkeypatch.chdir(tmp_path)
    written_as("csv", tmp_path / "jobs.csv")
    result = run(*args)
    assert (result.exit_code, words in result.output) == (status, True)
    assert not (tmp_path / "out").exists() and not (tmp_path / "a.xlsx").exists()
