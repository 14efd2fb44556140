"""``railwright process --ledger`` and ``railwright ledger`` as a clerk meets them."""

import json
from contextlib import nullcontext
from pathlib import Path

import pytest
from click.testing import CliRunner

from ledger_kit import rows
from little_surveys import SECTION, little_survey
from railwright.cli import main
from railwright.ledger.connection import opened
from railwright.recording import Recording
from railwright.writing.output_folder import LISTING, token_of

#: One section that is the whole keyboard of its piano: quick to compute, and released.
WHOLE = SECTION | {"notes": 20}


def run(*arguments: object):
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def results(out: Path):
    return json.loads((out / "results.json").read_text(encoding="utf-8"))


def bought(out: Path) -> dict[str, float]:
    return {line["item"]: line["buy"] for line in results(out)["order"] if line["buy"]}


@pytest.fixture(autouse=True)
def no_workers(monkeypatch):
    """Do the work in this process: starting workers takes longer than these surveys do."""
    monkeypatch.setattr("railwright.commands.workers.workers", lambda jobs: nullcontext(None))


@pytest.fixture
def desk(tmp_path: Path) -> Path:
    """One survey that is released, in ``surveys``."""
    (tmp_path / "surveys").mkdir()
    little_survey(tmp_path / "surveys" / "a.xlsx", WHOLE, order_no="T-1", serial="A 4410")
    return tmp_path


def process(desk: Path, out: str = "week", *more: object):
    return run("process", desk / "surveys", "-o", desk / out, "--ledger", desk / "shop.ledger", *more)


def test_from_week_to_week(desk):
    first = process(desk, "one", "--include-confirm")
    assert first.exit_code == 0 and "Ledger, run 1: 1 new." in first.stdout
    assert bought(desk / "one")
    again = process(desk, "two", "--include-confirm")
    assert "Ledger, nothing to enter: 1 unchanged." in again.stdout and "(run 1)" in again.stdout
    assert bought(desk / "two") == {}
    assert not token_of(desk / "two")

    bass = WHOLE | {"span": "11 1/4", "gauge_high": "11/16"}
    little_survey(desk / "surveys" / "a.xlsx", bass, order_no="T-1", serial="A 4410")
    little_survey(desk / "surveys" / "b.xlsx", WHOLE, order_no="T-2", serial="A 4411")
    third = process(desk, "one", "--include-confirm")
    assert "Ledger, run 2: 1 new, 1 superseding an earlier one." in third.stdout
    assert "has an order or a cutting list that is not written again; it is kept as" in third.stderr
    assert bought(desk / "one kept 1")
    page = (desk / "one" / "week.html").read_text(encoding="utf-8")
    assert "Since last time" in page and "Readings!B13" in page and "11 1/8" in page and "11 1/4" in page
    one = results(desk / "one")["instruments"][0]["ledger"]
    assert one["news"] == "superseding"
    changes = [(change["field"], change["old"], change["new"]) for change in one["changes"]]
    assert changes == [("s1_span", "11 1/8", "11 1/4"), ("s1_gauge_high", "5/8", "11/16")]

    assert run("ledger", "cancel", desk / "shop.ledger", "t-2").stdout.startswith("Order t-2 is cancelled. Back on the")
    told = run("ledger", "delivered", desk / "shop.ledger", 1, 2)
    assert told.exit_code == 0 and "delivered." in told.stdout
    shown = run("ledger", "show", desk / "shop.ledger").stdout
    assert all(word in shown for word in ("cancelled", "delivered", "Shelf", "T-1", "ordered "))
    process(desk, "three", "--include-confirm")
    assert "The order is cancelled" in (desk / "three" / "week.html").read_text(encoding="utf-8")


def test_what_is_told_wrongly_is_a_sentence_and_status_3(desk):
    process(desk)
    for arguments in (("cancel", "X-9"), ("delivered", 9), ("withdraw", 9), ("resume", "T-1"), ("not-coming", 1)):
        told = run("ledger", arguments[0], desk / "shop.ledger", *arguments[1:])
        assert told.exit_code == 3 and told.stderr.endswith("Nothing was changed.\n"), told.stderr
    assert run("ledger", "delivered", desk / "shop.ledger", 1, "--item", "HF-10=some").exit_code == 2


def test_a_file_that_is_no_ledger_stops_the_run_before_it_begins(desk):
    (desk / "shop.ledger").write_text("no ledger")
    told = process(desk)
    assert told.exit_code == 3 and "is no ledger of railwright. It was left as it is" in told.stderr
    assert (desk / "shop.ledger").read_text() == "no ledger" and not (desk / "week").exists()


@pytest.mark.parametrize("place", ["surveys/l", "week/l"])
def test_a_ledger_in_the_input_or_output_folder_is_refused(desk, place):
    told = run("process", desk / "surveys", "-o", desk / "week", "--ledger", desk / place)
    assert told.exit_code == 2 and "Name a place of its own" in told.stderr


def test_a_ledger_that_somebody_else_is_writing_stops_the_run_in_a_sentence(desk, monkeypatch):
    monkeypatch.setattr("railwright.ledger.connection.opened.__wrapped__.__defaults__", (0.05, print))
    process(desk)
    with opened(desk / "shop.ledger") as other:
        other.execute("BEGIN IMMEDIATE")
        told = process(desk, "two")
    assert told.exit_code == 3 and "somebody else is writing the ledger" in told.stderr
    assert not (desk / "two").exists()


def test_an_output_that_cannot_take_its_place_leaves_no_entry(desk, monkeypatch):
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", "week")

    monkeypatch.setattr("railwright.writing.output_folder._swap", full)
    told = process(desk)
    assert told.exit_code == 3 and "No space left" in told.stderr
    with opened(desk / "shop.ledger") as ledger:
        assert rows(ledger, "SELECT * FROM survey") == rows(ledger, "SELECT * FROM entry") == []
    assert sorted(path.name for path in desk.iterdir()) == ["shop.ledger", "surveys"]


class Killed(BaseException):
    """Stands for the end of the process: nothing of the run comes after it."""


@pytest.mark.parametrize(("moment", "orders"), [("prepare", []), ("done", [("T-1",)])])
def test_a_run_killed_around_the_swap_is_mended_at_the_next_start(desk, monkeypatch, moment, orders):
    really = getattr(Recording, moment)

    def killed(recording: Recording) -> None:
        if moment == "prepare":
            really(recording)
        raise Killed

    with monkeypatch.context() as patch, pytest.raises(Killed):
        patch.setattr(Recording, moment, killed)
        patch.setattr("railwright.writing.output_folder._settled", lambda out, companion: None)
        patch.setattr("railwright.commands.failures._status", lambda call: call())
        CliRunner().invoke(
            main,
            ["process", str(desk / "surveys"), "-o", str(desk / "week"), "--ledger", str(desk / "shop.ledger")],
            catch_exceptions=False,
        )
    assert (desk / "week" / LISTING).exists() == (moment == "done")
    shown = run("ledger", "show", desk / "shop.ledger")
    assert shown.exit_code == 0
    told = process(desk, "other")
    assert "was broken off" in told.stderr
    with opened(desk / "shop.ledger") as ledger:
        states = rows(ledger, "SELECT state FROM entry")
        assert rows(ledger, "SELECT count(*) FROM survey") == [(1,)]
    assert states == [("done",)]
    assert bool(token_of(desk / "week")) == bool(orders)
