"""The same survey twice changes nothing; a corrected one supersedes the older, and says what changed, by cell."""

from dataclasses import replace

import pytest

from kept_surveys import kept_survey
from ledger_kit import DOUBT, HELD, contents, cut, entered, news, piano, rows
from railwright.ledger.connection import opened
from railwright.ledger.queries import open_questions
from railwright.writing.asking import asked_by_technician


@pytest.fixture
def ledger(tmp_path):
    with opened(tmp_path / "l") as connection:
        yield connection


def current(ledger):
    return rows(ledger, "SELECT order_no, file FROM current_survey ORDER BY id")


def test_everything_that_was_read_comes_back_as_it_was_read(ledger):
    read = piano(
        "R-1", s1_span=307.9, s1_strut=True, s1_screws=(7, 11), s1_dampers=21, s1_angle_1=78.0, remarks="ß 1/8"
    )
    entered(ledger, read, piano("R-2", s1_screws=()))
    assert kept_survey(ledger, 1) == read.survey
    assert kept_survey(ledger, 2).sections[0].screws == ()


def test_the_same_week_twice_changes_nothing_at_all(ledger):
    week = [piano("R-1", 600.0, feet=3), piano("R-2", findings=(HELD,)), piano("R-3", 500.0, findings=(DOUBT,))]
    entered(ledger, *week)
    before = contents(ledger)
    again = entered(ledger, *week)
    assert contents(ledger) == before
    assert news(again) == ["unchanged"] * 3
    assert again.order == again.cutting == ()


def test_a_file_saved_anew_renamed_or_with_rows_moved_is_the_same_survey(ledger):
    entered(ledger, piano("R-1"))
    before = contents(ledger)
    assert news(entered(ledger, piano("R-1", file="monday/copy of it.xlsx", row=7))) == ["unchanged"]
    assert contents(ledger) == before


def test_a_corrected_survey_supersedes_the_older_and_says_what_changed_by_cell(ledger):
    entered(ledger, piano("R-1", s1_span=300.0, s1_run=97.0, remarks="old"))
    week = entered(ledger, piano("R-1", s1_span=301.5, s1_run=97.0, s1_dampers=21, remarks=None, file="new.xlsx"))
    assert news(week) == ["superseding"]
    changes = [(each.field, each.cell, each.old, each.new) for each in week.instruments[0].standing.changes]
    assert changes == [
        ("remarks", "B9", "old", ""),
        ("s1_dampers", "B9", "", "21"),
        ("s1_span", "B7", "300.0", "301.5"),
    ]
    assert [row[:5] for row in rows(ledger, "SELECT field, cell, old, new, survey_id FROM change ORDER BY field")] == [
        (*change, 2) for change in changes
    ]
    assert current(ledger) == [("R-1", "new.xlsx")]
    assert rows(ledger, "SELECT id, superseded_by FROM survey") == [(1, 2), (2, None)]


def test_the_older_survey_sent_once_more_does_not_count(ledger):
    old, new = piano("R-1", 600.0, s1_span=300.0, findings=(HELD,)), piano("R-1", 600.0, s1_span=301.0, file="new.xlsx")
    entered(ledger, old)
    entered(ledger, new)
    before = contents(ledger)
    week = entered(ledger, replace(old, findings=()))
    assert news(week) == ["outdated"] and week.instruments[0].standing.earlier_file == "new.xlsx"
    assert cut(week) == [] and not week.instruments[0].made
    assert contents(ledger) == before
    assert asked_by_technician(entered(ledger, old)) == {}


@pytest.mark.parametrize("first", ["a", "z"])
def test_the_older_survey_beside_the_corrected_one_in_a_folder_does_no_harm(ledger, first):
    old = piano("R-1", 600.0, file=f"{first}.xlsx")
    entered(ledger, old)
    both = sorted([old, piano("R-1", 610.0, s1_span=305.0, file="m.xlsx")], key=lambda one: one.file)
    week = entered(ledger, *both)
    assert {one.file: one.standing.news for one in week.instruments} == {
        f"{first}.xlsx": "outdated",
        "m.xlsx": "superseding",
    }
    assert all(one.findings == () for one in week.instruments)
    assert cut(week) == ["R-1/1"]


def test_an_order_number_spelled_otherwise_is_the_same_instrument(ledger):
    entered(ledger, piano("R-1"))
    assert news(entered(ledger, piano("r -1", serial="S R-1"))) == ["superseding"]


def test_a_corrected_serial_number_is_the_same_instrument(ledger):
    entered(ledger, piano("R-1", serial="12"))
    assert news(entered(ledger, piano("R-1", serial="13", model="C 172"))) == ["superseding"]


def test_an_order_number_filled_in_later_is_the_same_instrument(ledger):
    entered(ledger, piano(None, serial="12", findings=(HELD,)))
    assert news(entered(ledger, piano("R-1", serial="12"))) == ["superseding"]
    assert news(entered(ledger, piano(None, serial="12", findings=(HELD,)))) == ["outdated"]


def test_a_file_without_order_and_serial_number_goes_by_its_name(ledger):
    nameless = {"order": None, "serial": None, "findings": (HELD,)}
    entered(ledger, piano(**nameless, file="a.xlsx"), piano(**nameless, file="b.xlsx", s1_span=200.0))
    assert news(entered(ledger, piano(**nameless, file="a.xlsx", s1_span=305.0))) == ["superseding"]
    assert news(entered(ledger, piano("R-1", serial="9", file="a.xlsx"))) == ["superseding"]
    assert current(ledger) == [(None, "b.xlsx"), ("R-1", "a.xlsx")]


def test_another_piano_under_a_number_that_is_taken_is_held(ledger):
    entered(ledger, piano("R-1", 600.0, serial="12"))
    other = piano("R-1", 600.0, maker="Brook", model="D-9", serial="77", file="b.xlsx")
    for _ in range(2):
        week = entered(ledger, other)
        (finding,) = week.instruments[0].findings
        assert (finding.rule, finding.severity, finding.cell) == ("duplicate_order_number", "fix", "B1")
        assert cut(week) == []
    assert news(week) == ["unchanged"]


def test_of_two_pianos_with_one_order_number_both_are_held_until_one_has_its_own(ledger):
    one = piano("R-1", 600.0, serial="12")
    other = {"maker": "Brook", "model": "D-9", "serial": "77", "file": "b.xlsx"}
    entered(ledger, replace(one, findings=(HELD,)), piano("R-1", 600.0, **other))
    for week in (entered(ledger, one), entered(ledger, piano("R-1", 600.0, **other))):
        assert [f.rule for f in week.instruments[0].findings] == ["duplicate_order_number"] and cut(week) == []
    week = entered(ledger, piano("R-2", 600.0, **other))
    assert news(week) == ["superseding"] and cut(week) == ["R-2/1"]
    assert cut(entered(ledger, one)) == ["R-1/1"]


def test_a_piano_known_under_another_order_is_to_confirm_until_that_is_cancelled(ledger):
    from railwright.ledger.connection import transaction
    from railwright.ledger.orders import cancel

    entered(ledger, piano("R-1", 500.0, serial="12"), piano("R-3", serial="13"))
    again = piano("R-2", 600.0, serial="12")
    assert [f.rule for f in entered(ledger, again).instruments[0].findings] == ["duplicate_serial"]
    assert entered(ledger, piano("R-1", 500.0, serial="12")).instruments[0].findings == ()  # ordered before
    entered(ledger, piano("R-4", serial="13"))
    assert [f.rule for f in entered(ledger, piano("R-3", serial="13")).instruments[0].findings] == ["duplicate_serial"]
    with transaction(ledger):
        cancel(ledger, ["R-1"])
    assert entered(ledger, again).instruments[0].state == "release"


def test_of_two_files_of_one_instrument_in_a_week_one_is_entered(ledger):
    week = entered(ledger, piano("R-1", file="a.xlsx"), piano("R-1", s1_span=301.0, file="b.xlsx"))
    assert news(week) == ["new", "twin"]
    assert current(ledger) == [("R-1", "a.xlsx")]


def test_what_was_decided_is_kept_when_it_changes_and_only_then(ledger):
    states = "SELECT state FROM decision ORDER BY id"
    entered(ledger, piano("R-1", findings=(HELD,)))
    entered(ledger, piano("R-1", findings=(replace(HELD, message="in other words"),)))
    assert rows(ledger, states) == [("hold",)]
    entered(ledger, piano("R-1"))
    assert rows(ledger, states) == [("hold",), ("release",)]
    assert rows(ledger, "SELECT state FROM current_decision") == [("release",)]


def test_open_questions_are_those_of_the_readings_that_count(ledger):
    entered(ledger, piano("R-1", findings=(HELD,)), piano("R-2", findings=(DOUBT,)))
    entered(ledger, piano("R-1", s1_span=301.0))
    assert [(row["order_no"], row["rule"], row["cell"]) for row in open_questions(ledger)] == [
        ("R-2", "readings_disagree", "B19")
    ]
