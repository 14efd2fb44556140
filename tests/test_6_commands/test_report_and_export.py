"""``railwright report`` and ``railwright export`` on a ledger of two weeks: one survey clean, one corrected."""

import csv
import html
import json
import shutil
from datetime import date
from pathlib import Path

import openpyxl
import pandas
import pytest
from click.testing import CliRunner

from ledger_kit import HELD, entered, piano
from little_surveys import SECTION, little_survey
from railwright.cli import main
from railwright.ledger.connection import opened, transaction
from railwright.ledger.orders import cancel, resume
from railwright.reporting.lead_times import lead_times
from railwright.reporting.open_questions import open_questions
from railwright.reporting.slips_found import slips_by_technician
from railwright.reporting.tables import Column
from railwright.reporting.tidy import DICTIONARY, TABLES
from railwright.survey.fields import INSTRUMENT_FIELDS, SECTION_FIELDS
from railwright.writing.csv_files import write_csv

BASS = SECTION | {"dampers": 22, "span": "11 7/8"}
TENOR = SECTION | {"register": "tenor", "dampers": 20, "span": "10 13/16", "angle_1": 86}
TREBLE = SECTION | {"register": "treble", "dampers": 22, "span": "11 7/8", "angle_1": 90, "screws": "7"}
TREBLE |= {"gauge_low": "3/8", "gauge_high": "3/8"}


def run(*arguments: object):
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def rows_of(folder: Path, name: str) -> list[dict[str, str]]:
    with (folder / f"{name}.csv").open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def weeks(tmp_path_factory) -> Path:
    """A ledger after one week (``first``) and after the next (``second``), and the output of the first."""
    home = tmp_path_factory.mktemp("weeks")
    surveys = home / "surveys"
    surveys.mkdir()
    clean = {"order_no": "T-1", "serial": "A 4410", "model": "E5", "remarks": "=1+1"}
    spoilt = {"order_no": "T-2", "serial": "A 4412", "model": "E6"}
    little_survey(surveys / "a.xlsx", BASS, TENOR, TREBLE, **clean)
    little_survey(surveys / "b.xlsx", BASS, TENOR | {"span": None}, TREBLE, **spoilt)
    done = run("process", surveys, "-o", home / "out 1", "--ledger", home / "ledger", "--jobs", 1)
    assert done.exit_code == 0, done.output
    (home / "first").write_bytes((home / "ledger").read_bytes())
    little_survey(surveys / "b.xlsx", BASS, TENOR, TREBLE, **spoilt)
    done = run("process", surveys, "-o", home / "out 2", "--ledger", home / "ledger", "--jobs", 1)
    assert done.exit_code == 0, done.output
    (home / "ledger").rename(home / "second")
    return home


@pytest.fixture(scope="module")
def reports(weeks: Path) -> Path:
    for name in ("first", "second"):
        done = run("report", "--ledger", weeks / name, "-o", weeks / f"report {name}", "--on", "2100-01-31")
        assert done.exit_code == 0, done.output
    return weeks


def told(reports: Path, name: str, table: str) -> list[dict[str, str]]:
    return rows_of(reports / f"report {name}" / "csv", table)


def test_a_blank_is_an_open_question_until_it_is_filled(reports):
    [question] = told(reports, "first", "open_questions")
    assert (question["order_no"], question["kind"]) == ("T-2", "put right")
    assert "Span over the heads" in question["question"]
    came = date.fromisoformat(told(reports, "first", "weeks")[0]["day"])
    assert int(question["age"]) == (date(2100, 1, 31) - came).days
    assert told(reports, "second", "open_questions") == []


def test_a_slip_is_counted_once_and_then_as_corrected(reports):
    for name, corrected in (("first", "0"), ("second", "1")):
        [kind] = told(reports, name, "slips_by_kind")
        assert (kind["kind"], kind["found"], kind["of"], kind["corrected"]) == ("Missing reading", "1", "2", corrected)
        assert float(kind["share_from"]) < 0.5 < float(kind["share_to"])
    [reading] = told(reports, "second", "slips_by_reading")
    assert (reading["reading"], reading["found"]) == ("Span over the heads", "1")


def test_runs_tell_new_and_corrected_surveys_apart(reports):
    first, second = told(reports, "second", "weeks")
    assert (first["first"], first["corrected"], first["released"], first["on_hold"]) == ("2", "0", "1", "1")
    assert (second["first"], second["corrected"], second["released"], second["on_hold"]) == ("0", "1", "1", "0")


def test_what_is_bought_is_on_the_way(reports):
    order = json.loads((reports / "out 1" / "results.json").read_text(encoding="utf-8"))["order"]
    bought = {line["item"]: line["buy"] for line in order if line["buy"]}
    assert {row["item"]: float(row["open"]) for row in told(reports, "first", "on_the_way")} == bought


def test_the_yield_adds_up_to_the_cutting_list(reports):
    document = json.loads((reports / "out 1" / "results.json").read_text(encoding="utf-8"))
    pieces: dict[str, float] = {}
    for bar in document["cutting"]:
        pieces[bar["item"]] = pieces.get(bar["item"], 0) + sum(piece["length_mm"] for piece in bar["pieces"]) / 1000
    rows = [row for row in told(reports, "first", "cutting_yield") if row["unit"] == "m"]
    assert {row["item"]: pytest.approx(float(row["pieces"])) for row in rows} == {
        row["item"]: pieces[row["item"]] for row in rows
    }
    assert rows
    for row in rows:
        assert float(row["pieces"]) + float(row["kept"]) + float(row["waste"]) == pytest.approx(float(row["taken"]))
        assert 0 < float(row["share"]) <= 1


def test_lead_times_tell_what_was_ordered_and_what_waits(reports):
    waiting = {row["order_no"]: row["ordered"] for row in told(reports, "first", "lead_times")}
    assert waiting["T-1"] and not waiting["T-2"]
    assert all(row["ordered"] for row in told(reports, "second", "lead_times"))


def test_an_order_taken_up_again_waits_until_it_is_ordered_anew(tmp_path):
    with opened(tmp_path / "ledger") as connection:
        standing = []
        for step in (lambda: None, lambda: cancel(connection, ["R-1"]), lambda: resume(connection, ["R-1"])):
            with transaction(connection):
                step()
            if not standing:
                entered(connection, piano("R-1", 600.0, feet=2))
            standing.append([row[-1] for row in lead_times(connection, date(2026, 1, 1)).rows])
        entered(connection, piano("R-1", 600.0, feet=2))
        standing.append([row[-1] for row in lead_times(connection, date(2026, 1, 1)).rows])
    assert standing == [["ordered"], [], ["waits"], ["ordered"]]


def test_the_workbook_has_every_table_and_charts(reports):
    workbook = openpyxl.load_workbook(reports / "report second" / "report.xlsx")
    tables = list((reports / "report second" / "csv").iterdir())
    assert workbook.sheetnames[0] == "Open questions" and workbook.sheetnames[-1] == "Charts"
    assert len(workbook.sheetnames) == len(tables) + 1
    assert len(workbook["Charts"]._charts) == 3
    assert "T-2" in {cell.value for cell in workbook["Lead times"]["A"]}


def test_page_and_workbook_use_the_same_names_and_explain_the_same_headings(reports):
    page = (reports / "report second" / "report.html").read_text(encoding="utf-8")
    workbook = openpyxl.load_workbook(reports / "report second" / "report.xlsx")
    for sheet in workbook.worksheets[:-1]:
        assert f">{sheet.title}</h2>" in page
        assert sheet["A1"].value == sheet.title
        assert sheet["A2"].value.startswith("Report on 2100-01-31. ")
        if sheet["A5"].value != "None.":
            assert (sheet["A3"].value or "") in html.unescape(page)
    assert "Run: number that railwright ledger delivered asks for." in workbook["On the way"]["A3"].value
    assert "Run: number that railwright ledger delivered asks for." in page


def test_what_is_on_the_way_names_the_run_that_a_delivery_is_told_with(reports):
    assert {row["run"] for row in told(reports, "first", "on_the_way")} == {"1"}


def test_a_question_that_only_the_folder_shows_names_its_cell(weeks, tmp_path):
    """The same serial number twice is found when files are compared, after each was read."""
    surveys = tmp_path / "surveys"
    surveys.mkdir()
    for order in ("T-8", "T-9"):
        little_survey(surveys / f"{order}.xlsx", BASS, TENOR, TREBLE, order_no=order, serial="A 1", model="E5")
    ledger = tmp_path / "ledger"
    assert run("process", surveys, "-o", tmp_path / "out", "--ledger", ledger, "--jobs", 1).exit_code == 0
    assert run("report", "--ledger", ledger, "-o", tmp_path / "report").exit_code == 0
    assert run("export", "--ledger", ledger, "-o", tmp_path / "tables").exit_code == 0
    asked = [row for row in rows_of(tmp_path / "report" / "csv", "open_questions") if "Serial" in row["question"]]
    found = [row for row in rows_of(tmp_path / "tables", "findings") if row["rule"] == "duplicate_serial"]
    serial = next(cell for cell in openpyxl.load_workbook(surveys / "T-8.xlsx").active["B"] if cell.value == "A 1")
    assert {row["cell"] for row in asked} == {f"Readings!{serial.coordinate}"}
    assert {(row["sheet"], row["cell"]) for row in found} == {("Readings", serial.coordinate)}
    assert len(asked) == len(found) == 2


@pytest.mark.parametrize("command", ["report", "export"])
def test_the_output_of_another_command_is_left_alone(weeks, tmp_path, command):
    out = tmp_path / "out"
    shutil.copytree(weeks / "out 2", out)
    before = sorted(path.relative_to(out) for path in out.rglob("*"))
    result = run(command, "--ledger", weeks / "first", "-o", out)
    assert result.exit_code == 2
    assert "holds the output of another command" in result.stderr
    assert sorted(path.relative_to(out) for path in out.rglob("*")) == before


def test_a_report_is_no_output_to_process_into_but_one_to_report_into_again(weeks, tmp_path):
    out = tmp_path / "report"
    for _ in range(2):
        assert run("report", "--ledger", weeks / "first", "-o", out).exit_code == 0
    result = run("process", weeks / "surveys", "-o", out)
    assert (result.exit_code, "holds the output of another command" in result.stderr) == (2, True)
    assert (out / "report.html").is_file()


def test_an_empty_file_is_no_older_ledger(tmp_path):
    (tmp_path / "ledger").touch()
    for command in (("report", "--ledger"), ("export", "--ledger")):
        result = run(*command, tmp_path / "ledger", "-o", tmp_path / "out")
        assert (result.exit_code, "is empty; railwright process with --ledger fills it" in result.stderr) == (3, True)
    assert not (tmp_path / "out").exists()


def test_a_ledger_without_a_survey_gives_a_report_that_says_none(tmp_path):
    (tmp_path / "surveys").mkdir()
    openpyxl.Workbook().save(tmp_path / "surveys" / "other.xlsx")
    run("process", tmp_path / "surveys", "-o", tmp_path / "out", "--ledger", tmp_path / "ledger", "--jobs", 1)
    assert run("report", "--ledger", tmp_path / "ledger", "-o", tmp_path / "report").exit_code == 0
    assert (tmp_path / "report" / "report.html").read_text(encoding="utf-8").count("<p>None.</p>") >= 9
    workbook = openpyxl.load_workbook(tmp_path / "report" / "report.xlsx")
    assert "Charts" not in workbook.sheetnames
    assert workbook["Open questions"]["A5"].value == "None."


def test_the_page_links_every_table(reports):
    page = (reports / "report second" / "report.html").read_text(encoding="utf-8")
    for path in (reports / "report second" / "csv").iterdir():
        assert f'id="{path.stem}"' in page
        assert f'href="#{path.stem}"' in page


def test_a_report_leaves_the_ledger_as_it_is(weeks):
    before = (weeks / "first").read_bytes()
    assert run("report", "--ledger", weeks / "first", "-o", weeks / "again", "--on", "2100-01-31").exit_code == 0
    assert (weeks / "first").read_bytes() == before


def test_what_is_no_ledger_is_a_sentence(weeks, tmp_path):
    result = run("report", "--ledger", weeks / "surveys" / "a.xlsx", "-o", tmp_path / "report")
    assert result.exit_code == 3
    assert "no ledger" in result.stderr
    assert not (tmp_path / "report").exists()


def test_an_output_folder_around_the_ledger_is_refused(weeks):
    result = run("export", "--ledger", weeks / "first", "-o", weeks)
    assert result.exit_code == 2
    assert "lies inside" in result.stderr
    assert (weeks / "first").is_file()


@pytest.fixture(scope="module")
def exports(weeks: Path) -> Path:
    for form in ("csv", "parquet"):
        done = run("export", "--ledger", weeks / "second", "-o", weeks / form, "--format", form)
        assert done.exit_code == 0, done.output
    return weeks


def test_both_kinds_of_file_hold_the_same(exports):
    for table in (*TABLES, DICTIONARY):
        parquet = pandas.read_parquet(exports / "parquet" / f"{table.name}.parquet")
        plain = pandas.read_csv(exports / "csv" / f"{table.name}.csv", encoding="utf-8-sig")
        assert list(parquet.columns) == list(plain.columns) == [column.key for column in table.columns]
        assert len(parquet) == len(plain)


def test_readings_come_out_in_their_unit(exports):
    sections = rows_of(exports / "csv", "sections")
    tenor = [row for row in sections if row["register"] == "tenor"]
    # the clean survey, the one without a span, and its correction; 1 in is 25.4 mm (NIST Handbook 44, Appendix C)
    assert [row["span_mm"] for row in tenor] == [str(10.8125 * 25.4), "", str(10.8125 * 25.4)]
    assert {row["strut"] for row in tenor} <= {"True", "False"}


def test_a_superseded_survey_points_to_the_one_that_counts(exports):
    surveys = {row["survey_id"]: row for row in rows_of(exports / "csv", "surveys")}
    older = [row for row in surveys.values() if row["superseded_by"]]
    assert [row["order_no"] for row in older] == ["T-2"]
    assert surveys[older[0]["superseded_by"]]["instrument_id"] == older[0]["instrument_id"]
    [change] = rows_of(exports / "csv", "changes")
    assert (change["field"], change["old"], change["new"]) == ("s2_span", "", "10 13/16")


def test_text_from_a_survey_never_becomes_a_formula(exports):
    remarks = {row["order_no"]: row["remarks"] for row in rows_of(exports / "csv", "surveys")}
    assert remarks["T-1"] == "'=1+1"


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@a", "\tx", "\rx", "\nx"])
def test_every_start_of_a_formula_is_quoted(tmp_path, text):
    write_csv([Column("a", "a")], [(text,)], tmp_path / "t.csv")
    assert rows_of(tmp_path, "t") == [{"a": f"'{text}"}]


@pytest.mark.parametrize("value", ["a=1", "1-2", "", "x@y"])
def test_other_text_stays_as_it_is(tmp_path, value):
    write_csv([Column("a", "a"), Column("n", "n", "number")], [(value, -1.5)], tmp_path / "t.csv")
    assert rows_of(tmp_path, "t") == [{"a": value, "n": "-1.5"}]


def test_the_dictionary_explains_every_column_and_every_declared_field():
    explained = {(table.name, column.key): column.help for table in TABLES for column in table.columns}
    assert all(explained.values())
    for table, fields in (("surveys", INSTRUMENT_FIELDS), ("sections", SECTION_FIELDS)):
        helps = " ".join(text for (name, _), text in explained.items() if name == table)
        assert all(field.help in helps for field in fields)


def test_a_survey_without_a_technician_has_a_row_of_its_own_name(tmp_path):
    with opened(tmp_path / "ledger") as connection:
        entered(connection, piano("R-1", findings=(HELD,), technician=None))
        asked, slips = open_questions(connection, date(2031, 4, 2)), slips_by_technician(connection, date(2031, 4, 2))
    assert [row[0] for row in asked.rows] == [row[0] for row in slips.rows] == ["an unnamed technician"]
