"""What to measure next, as the office, the technician and other programs are told."""

import json
from dataclasses import replace

import pytest
from click.testing import CliRunner
from lxml import html

import hand_made_week as hand
from little_surveys import SECTION, little_survey
from railwright.book.default_catalogue import default_shop_book
from railwright.cli import main
from railwright.computing.next_reading import NextReading
from railwright.one_file import examine, with_next_readings
from railwright.writing.advice import measure_next_words, next_step
from railwright.writing.asking import asked_by_technician, mail_text
from railwright.writing.pages import write_pages
from railwright.writing.results_file import results_document

GAUGE = NextReading("s3_gauge_low", 0.0, 0.951, ("stack_within_doubt",), "Clear gauge: try.", "Survey", "D29")
ASKED = hand.week().instruments[2]
CELL = "Clear gauge: try. Cell Survey!D29; it settles"
SAID = "Clear gauge: try. Cell Survey!D29; it settles the doubt."


def asked(*readings, **more):
    return replace(ASKED, measure_next=readings, **more)


def week_with(instrument):
    return replace(hand.week(), instruments=(instrument,))


def test_nothing_is_said_where_nothing_is_known_to_settle_it():
    assert measure_next_words(asked()) == ""
    assert "Measure next" not in next_step(asked())


@pytest.mark.parametrize(
    ("reading", "doubts", "said"),
    [
        (GAUGE, 1, SAID),
        (replace(GAUGE, sheet="", cell=""), 1, "Clear gauge: try. It settles the doubt."),
        (replace(GAUGE, settles=0.4), 1, f"{CELL} the doubt about 40 times in 100."),
        (
            replace(GAUGE, settles=1.9),
            3,
            f"{CELL} about 1.9 of 3 doubts, and no other reading more.",
        ),
    ],
)
def test_the_most_telling_reading_with_its_cell_and_worth(reading, doubts, said):
    assert measure_next_words(asked(reading, findings=(hand.RUN,) * doubts)) == said


def test_the_week_the_question_sheet_and_the_mail_say_the_same(tmp_path):
    week = week_with(asked(GAUGE, replace(GAUGE, settles=0.1, words="Something else.")))
    assert write_pages(week, tmp_path) == ()
    row = html.parse(tmp_path / "week.html").xpath('string(//td[@data-label="What to do"])')
    assert row.endswith(f"Measure next: {SAID}")
    (page,) = (tmp_path / "questions").glob("*.html")
    assert html.parse(page).xpath("string(//p[strong])") == f"If there is time for one reading only: {SAID}"
    name, ask = next(iter(asked_by_technician(week).items()))
    assert f"\nIf there is time for one reading only: {SAID}\n1. " in mail_text(name, ask)
    assert "Something else" not in page.read_text(encoding="utf-8")


def test_other_programs_get_the_whole_ranking():
    document = results_document(week_with(asked(GAUGE, replace(GAUGE, settles=0.1, sheet="", cell=""))))
    assert document["instruments"][0]["measure_next"] == [
        {"field": "s3_gauge_low", "sheet": "Survey", "cell": "D29", "words": "Clear gauge: try.", "gain": 0.951},
        {"field": "s3_gauge_low", "sheet": None, "cell": None, "words": "Clear gauge: try.", "gain": 0.1},
    ]


TENOR = SECTION | {"register": "tenor", "dampers": 20, "span": "10 13/16", "angle_1": 86}
TREBLE = SECTION | {"register": "treble", "dampers": 22, "span": "11 7/8", "angle_1": 90, "screws": "7"}
TREBLE |= {"gauge_low": "3/8", "gauge_high": "3/8"}
BASS = SECTION | {"dampers": 22, "span": "11 7/8"}


def surveyed(folder, bass=BASS, tenor=TENOR):
    little_survey(folder / "a.xlsx", bass, tenor, TREBLE)
    return folder / "a.xlsx"


def test_a_run_over_eight_spaces_is_to_be_taken_again(tmp_path):
    path = surveyed(tmp_path, tenor=TENOR | {"run": "4 3/8"})
    instrument = with_next_readings(examine(path, "a.xlsx", default_shop_book()), default_shop_book())
    assert instrument.state == "confirm"
    assert instrument.measure_next[0].field == "s2_run"
    told = CliRunner().invoke(main, ["check", str(path)]).output
    assert "measure next: Seven-space run, section 2: measure again. Cell " in told


@pytest.mark.parametrize("tenor", [TENOR, TENOR | {"span": None, "run": "4 3/8"}])
def test_what_is_released_or_on_hold_has_no_next_reading(tmp_path, tenor):
    path = surveyed(tmp_path, tenor=tenor)
    instrument = with_next_readings(examine(path, "a.xlsx", default_shop_book()), default_shop_book())
    assert (instrument.state != "confirm", instrument.measure_next) == (True, ())
    assert "measure next" not in CliRunner().invoke(main, ["check", str(path)]).output


def test_a_run_of_the_folder_writes_it(tmp_path):
    (tmp_path / "in").mkdir()
    surveyed(tmp_path / "in", tenor=TENOR | {"run": "4 3/8"})
    result = CliRunner().invoke(main, ["process", str(tmp_path / "in"), "-o", str(tmp_path / "out")])
    assert result.exit_code == 0, result.output
    document = json.loads((tmp_path / "out" / "results.json").read_text(encoding="utf-8"))
    first = document["instruments"][0]["measure_next"][0]
    assert (first["field"], first["gain"]) == ("s2_run", 1.0)
    assert first["cell"] and first["sheet"]
    assert "Measure next:" in " ".join(result.output.split())
