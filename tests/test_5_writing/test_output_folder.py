"""An output appears whole or not at all, and nothing that somebody put into an earlier one is lost."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from railwright.writing import output_folder
from railwright.writing.file_system import exchange
from railwright.writing.output_folder import LISTING, OutputBusy, OutputRefused, refuse_unsafe, was_changed, write_whole


def one_file(text: str):
    def build(target: Path) -> None:
        (target / "week.html").write_text(text, encoding="utf-8")

    return build


def kept_of(out: Path, text: str) -> Path | None:
    """Write an output, and say where the earlier one was kept."""
    return write_whole(out, one_file(text))[1]


@pytest.fixture
def folders(tmp_path: Path) -> tuple[Path, Path]:
    source = tmp_path / "surveys"
    source.mkdir()
    return source, tmp_path / "out"


def test_a_new_output_holds_what_was_built_and_nothing_lies_beside_it(folders):
    _, out = folders
    assert kept_of(out, "first") is None
    assert (out / "week.html").read_text() == "first"
    assert sorted(path.name for path in out.parent.iterdir()) == ["out", "surveys"]


def test_an_untouched_earlier_output_is_replaced(folders):
    _, out = folders
    write_whole(out, one_file("first"))
    assert kept_of(out, "second") is None
    assert (out / "week.html").read_text() == "second"
    assert sorted(path.name for path in out.parent.iterdir()) == ["out", "surveys"]


@pytest.mark.parametrize("touch", ["added", "changed", "taken away"])
def test_an_earlier_output_that_somebody_changed_is_kept(folders, touch):
    _, out = folders
    write_whole(out, one_file("first"))
    if touch == "added":
        (out / "my notes.txt").write_text("call the hall")
    elif touch == "changed":
        (out / "week.html").write_text("first, with a note")
    else:
        (out / "week.html").unlink()
    assert was_changed(out)
    kept = kept_of(out, "second")
    assert kept == out.with_name("out kept 1")
    assert (kept / "my notes.txt").exists() == (touch == "added")
    assert (out / "week.html").read_text() == "second"


def test_each_changed_output_is_kept_under_its_own_name(folders):
    _, out = folders
    for number in (1, 2):
        write_whole(out, one_file("run"))
        (out / "note.txt").write_text(str(number))
    assert kept_of(out, "last") == out.with_name("out kept 2")
    assert (out.with_name("out kept 1") / "note.txt").read_text() == "1"


def test_a_run_that_fails_leaves_the_earlier_output_alone(folders):
    _, out = folders
    write_whole(out, one_file("first"))

    def fails(target: Path) -> None:
        (target / "half.txt").write_text("half")
        raise OSError("disk full")

    with pytest.raises(OSError, match="disk full"):
        write_whole(out, fails)
    assert [path.name for path in out.iterdir() if not path.name.startswith(".")] == ["week.html"]
    assert sorted(path.name for path in out.parent.iterdir()) == ["out", "surveys"]


def test_an_output_that_a_stopped_run_had_set_aside_comes_back(folders):
    _, out = folders
    write_whole(out, one_file("first"))
    out.rename(out.parent / ".out.replaced")

    def fails(target: Path) -> None:
        raise OSError("stopped again")

    with pytest.raises(OSError, match="stopped again"):
        write_whole(out, fails)
    assert (out / "week.html").read_text() == "first"


def test_an_empty_folder_may_be_the_output(folders):
    source, out = folders
    out.mkdir()
    refuse_unsafe(source, out)
    assert kept_of(out, "first") is None
    assert (out / "week.html").exists()


@pytest.mark.parametrize("place", [".", "week", "week/deep"])
def test_the_output_may_not_lie_inside_the_input(folders, place):
    source, _ = folders
    with pytest.raises(OutputRefused, match="inside the input folder"):
        refuse_unsafe(source, source / place)


def test_the_input_may_not_lie_inside_the_output(folders):
    source, _ = folders
    with pytest.raises(OutputRefused, match="lies inside the output folder"):
        refuse_unsafe(source, source.parent)


def test_a_folder_of_somebody_else_is_refused_and_left_alone(folders):
    source, out = folders
    out.mkdir()
    (out / "accounts.txt").write_text("mine")
    with pytest.raises(OutputRefused, match="did not write"):
        refuse_unsafe(source, out)
    assert (out / "accounts.txt").read_text() == "mine"


def test_a_file_is_no_output_folder(folders):
    source, out = folders
    out.write_text("mine")
    with pytest.raises(OutputRefused, match="is a file"):
        refuse_unsafe(source, out)


def test_an_output_beside_the_input_with_a_like_name_is_fine(folders):
    source, _ = folders
    refuse_unsafe(source, source.with_name("surveys out"))


def beside(out: Path) -> list[str]:
    return sorted(path.name for path in out.parent.iterdir())


def told_by(out: Path, text: str) -> list[str]:
    """Write an output, and give what was told about earlier runs."""
    told: list[str] = []
    write_whole(out, one_file(text), told.append)
    return told


def test_a_run_after_a_whole_one_has_nothing_to_tell(folders):
    _, out = folders
    assert told_by(out, "first") == []
    assert told_by(out, "second") == []


def test_what_a_killed_run_had_half_written_is_removed_and_told(folders):
    _, out = folders
    write_whole(out, one_file("first"))
    half = out.with_name(".out.building-0a1b2c3d")
    (half / "returned").mkdir(parents=True)
    (half / "returned" / "a.xlsx").write_text("half")
    (sentence,) = told_by(out, "second")
    assert "half written is removed" in sentence
    assert beside(out) == ["out", "surveys"]


def test_an_earlier_output_that_a_killed_run_had_half_removed_is_not_taken_for_a_changed_one(folders, monkeypatch):
    _, out = folders

    def two_files(target: Path) -> None:
        (target / "results.json").write_text("{}")
        (target / "week.html").write_text("first")

    write_whole(out, two_files)
    monkeypatch.setattr(output_folder.shutil, "rmtree", remove_one_file_and_stop)
    with pytest.raises(KeyboardInterrupt):
        write_whole(out, one_file("second"))
    monkeypatch.undo()
    assert (out / "week.html").read_text() == "second"
    (sentence,) = told_by(out, "third")
    assert "half written is removed" in sentence
    assert beside(out) == ["out", "surveys"]


def remove_one_file_and_stop(folder: Path, **options: object) -> None:
    (folder / "results.json").unlink()
    raise KeyboardInterrupt


def test_folders_of_other_outputs_are_left_alone(folders):
    _, out = folders
    other = out.with_name(".out two.building-0a1b2c3d")
    other.mkdir()
    assert told_by(out, "first") == []
    assert other.is_dir()


def test_an_output_that_was_set_aside_comes_back_and_that_is_told(folders):
    _, out = folders
    write_whole(out, one_file("first"))
    out.rename(out.with_name(".out.replaced"))
    (sentence,) = told_by(out, "second")
    assert f"is back as {out}" in sentence
    assert (out / "week.html").read_text() == "second"
    assert beside(out) == ["out", "surveys"]


@pytest.mark.parametrize("place", [".out.replaced", ".out.building-0a1b2c3d"])
def test_an_exchanged_output_that_somebody_had_changed_is_never_removed(folders, place):
    """A run is killed after the new output stands, but before the earlier one with a note in it was put away."""
    _, out = folders
    write_whole(out, one_file("first"))
    (out / "note.txt").write_text("call the hall")
    out.rename(out.with_name(place))
    write_whole_quietly_elsewhere(out)
    (sentence,) = told_by(out, "third")
    assert "kept as" in sentence
    assert (out.with_name("out kept 1") / "note.txt").read_text() == "call the hall"
    assert beside(out) == ["out", "out kept 1", "surveys"]


def write_whole_quietly_elsewhere(out: Path) -> None:
    """Put a finished output in place as the run did that was killed."""
    made = out.with_name("made")
    write_whole(made, one_file("second"))
    made.rename(out)


def test_where_names_cannot_be_exchanged_the_output_is_replaced_all_the_same(folders, monkeypatch):
    _, out = folders
    write_whole(out, one_file("first"))
    monkeypatch.setattr(output_folder, "exchange", lambda one, other: False)
    assert told_by(out, "second") == []
    (out / "note.txt").write_text("call the hall")
    assert kept_of(out, "third") == out.with_name("out kept 1")
    assert (out / "week.html").read_text() == "third"
    assert beside(out) == ["out", "out kept 1", "surveys"]


def test_an_output_that_cannot_be_moved_stands_as_it_was(folders, monkeypatch):
    """So it is where an office program holds a file of it open and the system lets nobody move its folder."""
    _, out = folders
    write_whole(out, one_file("first"))
    rename = Path.rename

    def refuses(self: Path, target: Path) -> Path:
        if self == out:
            raise PermissionError(13, "held by another program", str(self))
        return rename(self, target)

    monkeypatch.setattr(output_folder, "exchange", lambda one, other: False)
    monkeypatch.setattr(Path, "rename", refuses)
    with pytest.raises(PermissionError):
        write_whole(out, one_file("second"))
    assert (out / "week.html").read_text() == "first"
    assert beside(out) == ["out", "surveys"]


def test_a_new_output_that_cannot_be_moved_in_brings_the_earlier_one_back(folders, monkeypatch):
    _, out = folders
    write_whole(out, one_file("first"))
    rename = Path.rename

    def refuses(self: Path, target: Path) -> Path:
        if "building" in self.name:
            raise PermissionError(13, "held by another program", str(self))
        return rename(self, target)

    monkeypatch.setattr(output_folder, "exchange", lambda one, other: False)
    monkeypatch.setattr(Path, "rename", refuses)
    with pytest.raises(PermissionError):
        write_whole(out, one_file("second"))
    assert (out / "week.html").read_text() == "first"
    assert beside(out) == ["out", "surveys"]


def test_a_second_run_on_the_same_output_is_told_so_and_changes_nothing(folders):
    _, out = folders
    write_whole(out, one_file("first"))

    def meanwhile(target: Path) -> None:
        with pytest.raises(OutputBusy, match="another run of railwright is writing"):
            write_whole(out, one_file("third"))
        (target / "week.html").write_text("second")

    write_whole(out, meanwhile)
    assert (out / "week.html").read_text() == "second"
    assert beside(out) == ["out", "surveys"]


def test_runs_on_two_outputs_do_not_wait_for_each_other(folders):
    _, out = folders
    write_whole(out, lambda target: write_whole(out.with_name("other"), one_file("other")))
    assert beside(out) == ["other", "out", "surveys"]


HOLDER = """
import sys, time
from pathlib import Path
from railwright.writing.file_system import hold
print("held" if hold(Path(sys.argv[1])) is not None else "busy", flush=True)
time.sleep(600)
"""


def test_another_process_holds_its_lock_until_it_is_killed(folders):
    _, out = folders
    lock = out.with_name(".out.lock")
    arguments = [sys.executable, "-c", HOLDER, str(lock)]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    with subprocess.Popen(arguments, env=environment, stdout=subprocess.PIPE, text=True) as other:
        try:
            assert other.stdout is not None
            assert other.stdout.readline() == "held\n"
            with pytest.raises(OutputBusy):
                write_whole(out, one_file("mine"))
        finally:
            other.kill()
    assert lock.exists()
    write_whole(out, one_file("mine"))
    assert beside(out) == ["out", "surveys"]


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux exchanges two names in one step")
def test_two_folders_change_names_in_one_step(tmp_path):
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "name.txt").write_text(name)
    assert exchange(tmp_path / "one", tmp_path / "other")
    assert (tmp_path / "one" / "name.txt").read_text() == "other"
    with pytest.raises(FileNotFoundError):
        exchange(tmp_path / "one", tmp_path / "nowhere")


def test_an_output_named_through_a_link_replaces_what_the_link_points_to(folders):
    _, out = folders
    out.mkdir()
    shortcut = out.with_name("latest")
    try:
        shortcut.symlink_to(out, target_is_directory=True)
    except OSError:
        pytest.skip("links need a right that this account lacks")
    write_whole(shortcut, one_file("first"))
    assert shortcut.is_symlink()
    assert (out / "week.html").read_text() == "first"


def test_the_listing_names_every_file_with_its_size_and_time(tmp_path):
    out = tmp_path / "out"
    names = ["a/b.txt", "a.txt", "a/c/d.txt", 'quoted "x".txt', "ü.txt", f"b/{LISTING}"]

    def build(target):
        for number, name in enumerate(names):
            (target / name).parent.mkdir(parents=True, exist_ok=True)
            (target / name).write_text("x" * number)
        (target / "empty").mkdir()

    write_whole(out, build)
    found = {path.relative_to(out).as_posix(): path.stat() for path in out.rglob("*") if path.is_file()}
    files = {name: [it.st_size, it.st_mtime_ns] for name, it in found.items() if not name.endswith(LISTING)}
    assert len(files) == 5
    text = (out / LISTING).read_text(encoding="utf-8")
    assert json.loads(text) == {"files": files}
    assert text == json.dumps(json.loads(text), indent=0)
    assert not was_changed(out)
    (out / "a" / "b.txt").unlink()
    assert was_changed(out)


def test_an_empty_output_is_listed(tmp_path):
    write_whole(tmp_path / "out", lambda target: None)
    assert json.loads((tmp_path / "out" / LISTING).read_text(encoding="utf-8")) == {"files": {}}
    assert not was_changed(tmp_path / "out")


def test_a_run_that_fails_while_it_lists_leaves_no_listing_that_makes_it_look_changed(tmp_path, monkeypatch):
    def broken(folder, below=""):
        yield "a.txt", [1, 2]
        raise KeyboardInterrupt

    monkeypatch.setattr(output_folder, "_state", broken)
    with pytest.raises(KeyboardInterrupt):
        write_whole(tmp_path / "out", lambda target: (target / "a.txt").write_text("x"))
    assert [path.name for path in tmp_path.iterdir() if path.is_dir()] == []
