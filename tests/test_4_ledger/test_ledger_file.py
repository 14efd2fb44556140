"""The ledger as a file: made, brought up to date, refused, read while it is written, and never half written."""

import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest

from ledger_kit import entered, piano, planned, rows
from railwright.ledger.connection import LedgerTrouble, opened, opened_to_read, transaction
from railwright.ledger.entries import settle
from railwright.ledger.schema import APPLICATION_ID, NEWEST, STEPS
from railwright.recording import Recording

NOW = datetime.now(UTC).isoformat(timespec="seconds")


def version_one(path: Path) -> None:
    """Write a ledger of the first version with one survey in it."""
    file = sqlite3.connect(path, isolation_level=None)
    for statement in STEPS[0].statements:
        file.execute(statement)
    file.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    file.execute("PRAGMA user_version = 1")
    file.execute(
        "INSERT INTO entry (id, kind, state, token, at, machine, program) "
        "VALUES (1, 'week', 'done', 't', 'a', 'm', 'p')"
    )
    file.execute("INSERT INTO instrument VALUES (1, 1)")
    file.execute(
        "INSERT INTO survey (id, instrument_id, entry_id, fingerprint, file, order_no, sections) "
        "VALUES (1, 1, 1, 'f', 'a.xlsx', 'R-1', 3)"
    )
    file.execute("INSERT INTO reading VALUES (1, 's1_span', 'Survey', 'B18', '300', 300.0, NULL, 'mm', NULL, NULL)")
    file.close()


def test_a_new_ledger_is_of_the_newest_version_and_bears_our_mark(tmp_path):
    with opened(tmp_path / "a week's #1.ledger") as ledger:
        assert rows(ledger, "PRAGMA user_version") == [(NEWEST,)]
        assert rows(ledger, "PRAGMA application_id") == [(APPLICATION_ID,)]
        assert rows(ledger, "PRAGMA foreign_keys") == [(1,)]


def test_a_ledger_of_the_first_version_is_brought_up_to_date_without_loss(tmp_path):
    version_one(tmp_path / "old.ledger")
    with opened(tmp_path / "old.ledger") as ledger:
        assert rows(ledger, "PRAGMA user_version") == [(NEWEST,)]
        assert rows(ledger, "SELECT order_no, file FROM survey") == [("R-1", "a.xlsx")]
        assert rows(ledger, "SELECT field, number FROM reading") == [("s1_span", 300.0)]
        entered(ledger, piano("R-2", 600.0))
        made_new = dict(rows(ledger, "SELECT name, sql FROM sqlite_master"))
    with opened(tmp_path / "new.ledger") as ledger:
        assert made_new == dict(rows(ledger, "SELECT name, sql FROM sqlite_master"))


def test_steps_are_numbered_from_one_without_gaps():
    assert [step.number for step in STEPS] == list(range(1, NEWEST + 1))


def test_a_ledger_of_a_newer_program_is_refused_and_left_alone(tmp_path):
    with opened(tmp_path / "l") as ledger:
        ledger.execute(f"PRAGMA user_version = {NEWEST + 1}")
    before = (tmp_path / "l").read_bytes()
    for way in (opened, opened_to_read):
        with pytest.raises(LedgerTrouble, match="newer railwright"), way(tmp_path / "l"):
            pass
    assert (tmp_path / "l").read_bytes() == before


def test_a_file_that_is_no_ledger_is_refused_and_left_alone(tmp_path):
    other = tmp_path / "other.sqlite"
    file = sqlite3.connect(other)
    file.execute("CREATE TABLE survey (id)")
    file.close()
    (tmp_path / "letter.txt").write_text("Dear shop, here is the order.")
    for path in (other, tmp_path / "letter.txt"):
        before = path.read_bytes()
        for way in (opened, opened_to_read):
            with pytest.raises(LedgerTrouble, match="is no ledger of railwright"), way(path):
                pass
        assert path.read_bytes() == before
    assert {path.name for path in tmp_path.iterdir()} == {"other.sqlite", "letter.txt"}


def test_an_empty_file_becomes_a_ledger(tmp_path):
    (tmp_path / "l").touch()
    with opened(tmp_path / "l") as ledger:
        assert rows(ledger, "PRAGMA user_version") == [(NEWEST,)]


def test_a_report_on_no_ledger_or_an_old_one_says_so(tmp_path):
    with pytest.raises(LedgerTrouble, match="there is no ledger"), opened_to_read(tmp_path / "none"):
        pass
    version_one(tmp_path / "old")
    with pytest.raises(LedgerTrouble, match="older version"), opened_to_read(tmp_path / "old"):
        pass


def test_a_report_cannot_write_and_sees_one_moment_while_a_week_is_entered(tmp_path):
    with opened(tmp_path / "l") as ledger:
        entered(ledger, piano("R-1"))
        recording = Recording(ledger)
        planned(recording, [piano("R-2", 600.0)])
        with opened_to_read(tmp_path / "l") as report:
            assert rows(report, "SELECT count(*) FROM survey") == [(1,)]
            with pytest.raises(sqlite3.OperationalError, match="readonly"):
                report.execute("DELETE FROM survey")
        recording.prepare()
        recording.done()
    with opened_to_read(tmp_path / "l") as report:
        assert rows(report, "SELECT count(*) FROM survey") == [(2,)]


def test_a_full_disk_is_a_sentence_and_leaves_the_ledger_as_it_was(tmp_path):
    path = tmp_path / "l"
    with opened(path) as ledger:
        entered(ledger, piano("R-1"))
    before = path.read_bytes()
    with pytest.raises(LedgerTrouble, match=r"disk with the ledger .* is full"), opened(path) as ledger:
        pages = rows(ledger, "PRAGMA page_count")[0][0]
        ledger.execute(f"PRAGMA max_page_count = {pages}")
        for number in range(200):
            with transaction(ledger):
                ledger.execute(
                    "INSERT INTO entry (kind, state, token, at, machine, program) VALUES ('week', 'done', ?, ?, ?, '')",
                    (f"{number}", NOW, "m" * 3000),
                )
    assert path.stat().st_size == len(before)


@pytest.mark.parametrize("place", ["missing/folder/l", "."])
def test_a_place_that_cannot_hold_a_ledger_is_a_sentence(tmp_path, place):
    with pytest.raises(LedgerTrouble), opened(tmp_path / place):
        pass


def test_a_second_writer_waits_and_then_says_so(tmp_path):
    told: list[str] = []
    with opened(tmp_path / "l") as first:
        recording = Recording(first)
        planned(recording, [piano("R-1")])
        with pytest.raises(LedgerTrouble, match="somebody else is writing"), opened(tmp_path / "l", 0.05, told.append):
            pass
        recording.prepare()  # committed, yet its output is not in its place: nobody else may come between
        with pytest.raises(LedgerTrouble, match="somebody else is writing"), opened(tmp_path / "l", 0.05):
            pass
        recording.done()
        with opened(tmp_path / "l", 0.05) as second:
            assert rows(second, "SELECT order_no FROM survey") == [("R-1",)]
    assert told == ["Somebody else is writing the ledger; waiting up to 0 seconds."]


@pytest.mark.parametrize(("stands", "left"), [(True, [("R-1", "done"), ("R-2", "done")]), (False, [("R-1", "done")])])
def test_what_a_broken_off_run_left_is_completed_or_taken_back_by_its_output(tmp_path, stands, left):
    told: list[str] = []
    with opened(tmp_path / "l") as ledger:
        entered(ledger, piano("R-1", 600.0))
        recording = Recording(ledger)
        planned(recording, [piano("R-1", 700.0, s1_span=301.0), piano("R-2", 500.0)])
        recording.prepare()
    with opened(tmp_path / "l") as ledger:
        settle(ledger, lambda out, token, here: stands and here and len(token) == 32, told.append)
        state = rows(
            ledger, "SELECT s.order_no, e.state FROM current_survey s JOIN entry e ON e.id = s.entry_id ORDER BY 1"
        )
        spans = rows(
            ledger, "SELECT number FROM reading JOIN current_survey s ON s.id = survey_id WHERE field = 's1_span'"
        )
    assert state == left
    assert (301.0,) in spans if stands else spans == [(300.0,)]
    assert len(told) == 1


def test_an_output_that_cannot_be_seen_from_here_stops_everything_in_a_sentence(tmp_path):
    with opened(tmp_path / "l") as ledger:
        recording = Recording(ledger)
        planned(recording, [piano("R-1")])
        recording.prepare()
    with pytest.raises(LedgerTrouble, match="cannot be seen from here"), opened(tmp_path / "l") as ledger:
        settle(ledger, lambda out, token, here: None, print)
