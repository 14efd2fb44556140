"""``railwright report`` and ``railwright export`` on a ledger of two weeks: one survey clean, one corrected."""

import csv
import json
from datetime import date
from pathlib import Path

import openpyxl
import pandas
import pytest
from click.testing import CliRunner

from little_surveys import SECTION, little_survey
from railwright.cli import main
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


def test_the_workbook_has_every_table_and_charts(reports):
    workbook = openpyxl.load_workbook(reports / "report second" / "report.xlsx")
    assert len(workbook.sheetnames) == len(list((reports / "report second" / "csv").iterdir()))
    assert workbook["Weeks"]._charts
    assert "T-2" in {cell.value for cell in workbook["Lead times"]["A"]}


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
