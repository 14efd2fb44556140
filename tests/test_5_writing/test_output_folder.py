"""An output appears whole or not at all, and nothing that somebody put into an earlier one is lost."""

from pathlib import Path

import pytest

from railwright.writing.output_folder import OutputRefused, refuse_unsafe, was_changed, write_whole


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
    source, out = folders
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
