"""What is shown while the work goes on: on a terminal only, and without colours where nobody wants them."""

import io
import re

import pytest

from hand_made_week import week
from railwright.commands import screen
from railwright.pipeline import Step

STEPS = [Step("read", done, 3, f"{done}.xlsx") for done in (1, 2, 3)] + [Step("write", 1, 3, "1.xlsx")]
#: Select Graphic Rendition with a colour: ECMA-48, 8.3.117, 30 to 49, and 90 to 107 (common practice, no source).
COLOUR = re.compile(r"\x1b\[(?:\d+;)*(?:3\d|4\d|9\d|10[0-7])(?:;\d+)*m")


class Terminal(io.StringIO):
    def isatty(self):
        return True


@pytest.fixture
def shown(monkeypatch):
    """Give a function that shows progress and the week on a stream and tells what went there."""
    for name in ("NO_COLOR", "FORCE_COLOR", "TTY_COMPATIBLE", "TTY_INTERACTIVE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLUMNS", "120")

    def show(stream, out, name_files=False):
        monkeypatch.setattr("sys.stderr", stream)
        monkeypatch.setattr("sys.stdout", stream)
        with screen.follow_progress(name_files) as progress:
            for step in STEPS:
                progress(step)
        during = stream.getvalue()
        screen.show_week(week(), out)
        return during, stream.getvalue().removeprefix(during)

    return show


def test_a_terminal_sees_how_far_the_work_is_how_fast_it_goes_and_how_long_it_takes(shown, tmp_path):
    during, _ = shown(Terminal(), tmp_path)
    text = re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", during)
    assert re.search(r"Reading surveys\s.*3/3 [\d.]+ files/s +\d:\d\d:\d\d", text)
    assert re.search(r"Writing files\s.*1/3 ", text)


def test_nothing_is_shown_along_a_pipe_unless_every_file_is_to_be_named(shown, tmp_path):
    quiet, table = shown(io.StringIO(), tmp_path)
    named, _ = shown(io.StringIO(), tmp_path, name_files=True)
    assert quiet == "" and "\x1b" not in table and "R-101" in table
    assert named.splitlines() == [
        *(f"read {done} of 3: {done}.xlsx" for done in (1, 2, 3)),
        "written 1 of 3: 1.xlsx",
    ]


def test_no_colour_where_nobody_wants_it(shown, monkeypatch, tmp_path):
    """The variable's mere presence with any value counts: no-color.org (from memory)."""
    coloured = "".join(shown(Terminal(), tmp_path))
    monkeypatch.setenv("NO_COLOR", "1")
    plain = "".join(shown(Terminal(), tmp_path))
    assert COLOUR.search(coloured) and not COLOUR.search(plain)
    assert "R-101" in plain and "3/3" in plain


def test_the_last_line_says_where_the_questions_are_if_there_are_any(shown, tmp_path):
    _, table = shown(io.StringIO(), tmp_path)
    assert "what to ask each technician is in" in table
