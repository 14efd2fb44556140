"""``railwright process`` as a clerk meets it: what it prints, what it writes, and a sentence for each bad input."""

import errno
import hashlib
import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from little_surveys import SECTION, little_survey
from railwright.cli import main
from railwright.shop import workbook_file
from railwright.writing.file_system import hold, release

TENOR = SECTION | {"register": "tenor", "dampers": 20, "span": "10 13/16", "angle_1": 86}
TREBLE = SECTION | {"register": "treble", "dampers": 22, "span": "11 7/8", "angle_1": 90, "screws": "7"}
TREBLE |= {"gauge_low": "3/8", "gauge_high": "3/8"}


def run(*arguments: object):
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def fingerprints(folder: Path) -> dict[str, str]:
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


@pytest.fixture
def week(tmp_path: Path) -> tuple[Path, Path]:
    """Two surveys in subfolders; the second lacks a span."""
    surveys = tmp_path / "surveys"
    (surveys / "monday").mkdir(parents=True)
    (surveys / "tuesday").mkdir()
    bass = SECTION | {"dampers": 22, "span": "11 7/8"}
    little_survey(surveys / "monday" / "a.xlsx", bass, TENOR, TREBLE, order_no="T-1", serial="A 4410", model="E5")
    little_survey(
        surveys / "tuesday" / "b.xlsx",
        bass,
        TENOR | {"span": None},
        TREBLE,
        order_no="T-2",
        serial="A 4412",
        model="E6",
    )
    return surveys, tmp_path / "out"


def states(out: Path) -> dict[str, str]:
    document = json.loads((out / "results.json").read_text(encoding="utf-8"))
    return {instrument["file"]: instrument["state"] for instrument in document["instruments"]}


def test_a_week_is_read_written_and_told(week):
    surveys, out = week
    before = fingerprints(surveys)
    result = run("process", surveys, "-o", out)
    assert result.exit_code == 0, result.output
    assert states(out) == {"monday/a.xlsx": "release", "tuesday/b.xlsx": "hold"}
    assert {"parts-order.xlsx", "cutting-list.xlsx", "week.html", "results.json", "drawings"} <= {
        path.name for path in out.iterdir()
    }
    assert (out / "returned" / "tuesday" / "b.xlsx").is_file()
    assert "T-1" in result.output
    assert "1 released, 0 to confirm, 1 on hold" in result.output
    assert fingerprints(surveys) == before


def test_the_same_folder_gives_the_same_results(week):
    surveys, out = week
    run("process", surveys, "-o", out)
    first = (out / "results.json").read_bytes()
    run("process", surveys, "-o", out)
    assert (out / "results.json").read_bytes() == first


def test_two_workers_find_what_one_finds(week):
    surveys, out = week
    run("process", surveys, "-o", out)
    run("process", surveys, "-o", out.with_name("two"), "--jobs", 2)
    assert (out / "results.json").read_bytes() == (out.with_name("two") / "results.json").read_bytes()


def test_strict_tells_by_its_exit_status_that_something_is_on_hold(week):
    surveys, out = week
    assert run("process", surveys, "-o", out, "--strict").exit_code == 1
    (surveys / "tuesday" / "b.xlsx").unlink()
    assert run("process", surveys, "-o", out, "--strict").exit_code == 0


def test_instruments_to_confirm_are_made_only_when_asked(week):
    surveys, out = week
    (surveys / "tuesday" / "b.xlsx").unlink()
    apart = SECTION | {"dampers": 22, "span": "11 7/8", "angle_2": 82}
    little_survey(surveys / "monday" / "a.xlsx", apart, TENOR, TREBLE)
    made = {}
    for options in ((), ("--include-confirm",)):
        run("process", surveys, "-o", out, *options)
        document = json.loads((out / "results.json").read_text(encoding="utf-8"))
        assert document["instruments"][0]["state"] == "confirm"
        made[options] = bool(document["order"]), bool(document["cutting"])
    assert made == {(): (False, False), ("--include-confirm",): (True, True)}


@pytest.mark.parametrize(
    ("name", "content"),
    [("letter.xlsx", b"Dear shop,\nthe piano is fine."), ("empty.xlsx", b""), ("list.csv", b"a;b\n1;2\n")],
)
def test_a_file_that_is_no_workbook_costs_itself_only(week, name, content):
    surveys, out = week
    (surveys / name).write_bytes(content)
    result = run("process", surveys, "-o", out)
    assert result.exit_code == 0, result.output
    assert states(out)[name] == "hold"
    assert states(out)["monday/a.xlsx"] == "release"
    document = json.loads((out / "results.json").read_text(encoding="utf-8"))
    entry = next(instrument for instrument in document["instruments"] if instrument["file"] == name)
    assert entry["sections"] == []
    assert [finding["rule"] for finding in entry["findings"]] == ["unreadable_workbook"]


def test_a_workbook_that_is_no_survey_is_held_with_a_reason(week):
    from openpyxl import Workbook

    surveys, out = week
    Workbook().save(surveys / "prices.xlsx")
    run("process", surveys, "-o", out)
    document = json.loads((out / "results.json").read_text(encoding="utf-8"))
    entry = next(instrument for instrument in document["instruments"] if instrument["file"] == "prices.xlsx")
    assert (entry["state"], entry["sections"]) == ("hold", [])
    assert [finding["rule"] for finding in entry["findings"]] == ["not_a_survey"]


def test_lock_files_and_photos_are_passed_over_aloud(week):
    surveys, out = week
    (surveys / "~$a.xlsx").write_bytes(b"lock")
    (surveys / "plate.jpg").write_bytes(b"photo")
    result = run("process", surveys, "-o", out)
    assert set(states(out)) == {"monday/a.xlsx", "tuesday/b.xlsx"}
    assert "plate.jpg" in result.stderr


def test_an_empty_folder_is_a_sentence(tmp_path):
    (tmp_path / "surveys").mkdir()
    result = run("process", tmp_path / "surveys", "-o", tmp_path / "out")
    assert result.exit_code == 3
    assert "holds no file that could be a survey" in result.stderr
    assert not (tmp_path / "out").exists()


def test_a_folder_that_is_not_there_is_a_usage_error(tmp_path):
    assert run("process", tmp_path / "nowhere", "-o", tmp_path / "out").exit_code == 2


def test_an_output_inside_the_input_is_refused(week):
    surveys, _ = week
    before = fingerprints(surveys)
    result = run("process", surveys, "-o", surveys / "out")
    assert result.exit_code == 2
    assert "inside the input folder" in result.stderr
    assert fingerprints(surveys) == before


def test_an_output_that_holds_somebody_elses_files_is_refused(week):
    surveys, out = week
    out.mkdir()
    (out / "accounts.txt").write_text("mine")
    result = run("process", surveys, "-o", out)
    assert result.exit_code == 2
    assert "did not write" in result.stderr
    assert fingerprints(out).keys() == {"accounts.txt"}


def test_an_earlier_output_with_a_note_in_it_is_kept_and_named(week):
    surveys, out = week
    run("process", surveys, "-o", out)
    (out / "call the hall.txt").write_text("monday")
    result = run("process", surveys, "-o", out)
    assert result.exit_code == 0
    assert "out kept 1" in result.stderr
    assert (out.with_name("out kept 1") / "call the hall.txt").exists()


def test_an_unreadable_shop_book_stops_the_run_before_anything_is_written(week, tmp_path):
    surveys, out = week
    (tmp_path / "book.xlsx").write_text("not a workbook")
    result = run("process", surveys, "-o", out, "--shop-book", tmp_path / "book.xlsx")
    assert result.exit_code == 3
    assert "shop book" in result.stderr
    assert not out.exists()


def test_the_default_shop_book_given_as_a_file_changes_nothing(week, tmp_path):
    surveys, out = week
    assert run("shop-book", "-o", tmp_path / "book.xlsx").exit_code == 0
    run("process", surveys, "-o", out)
    run("process", surveys, "-o", tmp_path / "with", "--shop-book", tmp_path / "book.xlsx")
    one, other = (json.loads((place / "results.json").read_text()) for place in (out, tmp_path / "with"))
    assert one["instruments"] == other["instruments"]
    assert one["order"] == other["order"]


def test_check_prints_findings_and_writes_nothing(week):
    surveys, _ = week
    before = fingerprints(surveys.parent)
    good, bad = surveys / "monday" / "a.xlsx", surveys / "tuesday" / "b.xlsx"
    assert run("check", good).exit_code == 0
    result = run("check", good, bad)
    assert result.exit_code == 1
    assert "missing_reading" in result.output
    assert fingerprints(surveys.parent) == before


def test_check_compares_the_files_that_it_is_given(week):
    surveys, _ = week
    one, other = surveys / "monday" / "a.xlsx", surveys / "copy.xlsx"
    other.write_bytes(one.read_bytes())
    assert run("check", one).exit_code == 0
    result = run("check", one, other)
    assert result.exit_code == 1
    assert result.output.count("[duplicate_order_number]") == 2


def test_a_terminal_without_a_sign_shows_another_and_goes_on(week):
    surveys, out = week
    little_survey(surveys / "monday" / "a.xlsx", SECTION | {"run": "gemessen – „ungefähr“"}, order_no="Č-1")
    for encoding in ("ascii", "cp437", "cp932"):
        result = CliRunner(charset=encoding).invoke(main, ["process", str(surveys), "-o", str(out)])
        assert result.exit_code == 0, (encoding, result.output)


def test_one_long_order_number_leaves_the_table_readable(week):
    surveys, out = week
    little_survey(surveys / "monday" / "c.xlsx", SECTION, order_no="X" * 5000, technician="Y" * 5000, serial="C 771")
    lines = run("process", surveys, "-o", out).stdout.splitlines()
    assert len(lines) < 30
    assert any(line.startswith("T-1 ") and "release" in line for line in lines)


def test_signs_that_a_terminal_obeys_are_not_sent_to_it(week):
    surveys, out = week
    order = "T-9_x001B_[2J_x009B_\u202egnp"  # spelled as workbooks spell such signs
    little_survey(surveys / "monday" / "a.xlsx", SECTION | {"span": "_x001B_]0;mine_x0007_"}, order_no=order)
    told = run("process", surveys, "-o", out, "--verbose").output
    told += run("check", surveys / "monday" / "a.xlsx").output
    assert "]0;mine" in told and "gnp" in told
    assert not set(told) & set("\x1b\x9b\x07\u202e")


def test_what_cannot_be_looked_into_is_named_and_not_passed_by(week):
    surveys, out = week
    try:
        (surveys / "gone.xlsx").symlink_to(surveys / "nowhere")
        (surveys / "friday").symlink_to(surveys / "monday", target_is_directory=True)
    except OSError:
        pytest.skip("links need a right that this account lacks")
    assert run("process", surveys, "-o", out).exit_code == 0
    entries = json.loads((out / "results.json").read_text())["instruments"]
    told = {entry["file"]: entry["findings"][0]["message"] for entry in entries if not entry["sections"]}
    assert "Copy it here again." in told["gone.xlsx"]
    assert "copy them into the folder that is processed" in told["friday"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no such devices")
def test_a_device_is_not_waited_for(week):
    surveys, out = week
    os.mkfifo(surveys / "pipe.xlsx")
    assert run("process", surveys, "-o", out).exit_code == 0
    assert states(out)["pipe.xlsx"] == "hold"


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="needs a folder that may not be opened")
def test_a_folder_that_may_not_be_opened_is_named(week):
    surveys, out = week
    (surveys / "monday").chmod(0o000)
    result = run("process", surveys, "-o", out)
    (surveys / "monday").chmod(0o755)
    assert result.exit_code == 0
    assert states(out)["monday"] == "hold"


def test_an_output_below_a_file_is_refused(week):
    surveys, out = week
    out.write_text("mine")
    result = run("process", surveys, "-o", out / "deep")
    assert result.exit_code == 2
    assert "is a file" in result.stderr


def test_every_file_is_named_when_asked_and_not_otherwise(week):
    surveys, out = week
    assert "monday/a.xlsx" not in run("process", surveys, "-o", out).stderr
    lines = run("process", surveys, "-o", out, "--verbose").stderr.splitlines()
    assert [line for line in lines if " of 2: " in line] == [
        "read 1 of 2: monday/a.xlsx",
        "read 2 of 2: tuesday/b.xlsx",
        "written 1 of 2: monday/a.xlsx",
        "written 2 of 2: tuesday/b.xlsx",
    ]


def test_a_second_run_on_the_same_output_is_told_so(week):
    surveys, out = week
    run("process", surveys, "-o", out)
    before = fingerprints(out)
    lock = out.with_name(".out.lock")
    held = hold(lock)
    try:
        result = run("process", surveys, "-o", out)
    finally:
        release(lock, held)
    assert result.exit_code == 3
    assert "another run of railwright is writing" in result.stderr
    assert fingerprints(out) == before


def test_what_a_killed_run_left_is_told(week):
    surveys, out = week
    out.with_name(".out.building-00000000").mkdir()
    result = run("process", surveys, "-o", out)
    assert result.exit_code == 0
    assert "An earlier run was broken off; what it had half written is removed." in result.stderr


@pytest.mark.parametrize("full", ["parts-order.xlsx", "results.json", "week.html"])
def test_a_full_disk_is_a_sentence_and_the_earlier_output_stands(week, monkeypatch, full):
    surveys, out = week
    run("process", surveys, "-o", out)
    before = fingerprints(out.parent)
    opened = io.open

    def no_room(file, mode="r", *more, **named):
        if str(file).endswith(full) and "w" in mode:
            raise OSError(errno.ENOSPC, "No space left on device", str(file))
        return opened(file, mode, *more, **named)

    monkeypatch.setattr(io, "open", no_room)
    monkeypatch.setattr(workbook_file, "_write_beside", lambda path, write: no_room(path, "wb").close())
    result = run("process", surveys, "-o", out)
    assert result.exit_code == 3
    assert "the run could not be completed" in result.stderr
    assert "No space left on device" in result.stderr
    assert fingerprints(out.parent) == before


#: A worker has the limits of the process that starts it.
_SMALL_FILES = """
import resource, signal
from railwright.commands.bounded_pool import BoundedPool

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
start, (_, most) = BoundedPool._start_worker, resource.getrlimit(resource.RLIMIT_FSIZE)

def small(size):
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, most))

def start_small(pool):
    small(1000)
    start(pool)
    small(most)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="limits of file size are set by resource, which Windows lacks")
@pytest.mark.parametrize("who", ["everybody", "the workers"])
def test_a_disk_that_fills_up_in_another_process_is_a_sentence_too(week, who):
    """No file may grow beyond 1 kB: a true failure of the system's own, in a process of its own and in its workers."""
    surveys, out = week
    run("process", surveys, "-o", out)
    before = fingerprints(out.parent)
    small = _SMALL_FILES + ("small(1000)\n" if who == "everybody" else "BoundedPool._start_worker = start_small\n")
    small += "from railwright.cli import main\nmain()\n"
    arguments = [sys.executable, "-c", small, "process", str(surveys), "-o", str(out)]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    result = subprocess.run(arguments, env=environment, capture_output=True, text=True, encoding="utf-8")
    assert result.returncode == 3, result.stderr
    assert "the run could not be completed" in result.stderr
    assert fingerprints(out.parent) == before


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="needs a folder that may not be written")
def test_a_read_only_place_is_a_sentence(week):
    surveys, out = week
    shelf = out.parent / "shelf"
    shelf.mkdir()
    shelf.chmod(0o555)
    result = run("process", surveys, "-o", shelf / "out")
    shelf.chmod(0o755)
    assert result.exit_code == 3
    assert "read-only" in result.stderr


def test_a_file_name_that_is_no_text_leaves_results_that_can_be_read(week):
    surveys, out = week
    try:
        (surveys / os.fsdecode(b"caf\xe9.xlsx")).write_bytes(b"no workbook")
    except OSError:
        pytest.skip("this disk takes only names that are text")
    result = run("process", surveys, "-o", out)
    assert result.exit_code == 0, result.output
    assert "hold" in [state for file, state in states(out).items() if "caf" in file]
