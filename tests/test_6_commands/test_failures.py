"""A fault that nobody foresaw: a sentence, the contract's exit status, and its details kept where they can be."""

import errno
import os
import sys
import tempfile
from pathlib import Path

import pytest

from railwright.commands.failures import NOT_COMPLETED, sentences


@sentences
def faulty() -> int:
    raise LookupError("nobody foresaw this")


def test_a_fault_is_a_sentence_with_its_details_in_a_file(tmp_path: Path, monkeypatch, capsys):
    monkeypatch.setattr(tempfile, "gettempdir", lambda: str(tmp_path))
    with pytest.raises(SystemExit) as end:
        faulty()
    assert end.value.code == NOT_COMPLETED
    log = tmp_path / "railwright-failure.log"
    assert f"Details: {log}" in capsys.readouterr().err
    assert "nobody foresaw this" in log.read_text(encoding="utf-8")


def test_where_no_file_can_be_written_the_details_stand_in_the_message(tmp_path: Path, monkeypatch, capsys):
    monkeypatch.setattr(tempfile, "gettempdir", lambda: str(tmp_path / "no such folder"))
    with pytest.raises(SystemExit) as end:
        faulty()
    assert end.value.code == NOT_COMPLETED
    told = capsys.readouterr().err
    assert "a fault of the program stopped the run" in told
    assert "nobody foresaw this" in told


def told_of(fault: OSError, capsys) -> str:
    @sentences
    def failing() -> int:
        raise fault

    with pytest.raises(SystemExit) as end:
        failing()
    assert end.value.code == NOT_COMPLETED
    return capsys.readouterr().err


def of_the_system(number: int, path: str | None = None) -> OSError:
    return OSError(number, os.strerror(number), *([path] if path else []))


@pytest.mark.parametrize(
    ("number", "remedy"),
    [
        (errno.ENOSPC, "make room where the output goes and where temporary files go"),
        (errno.EACCES, "a file is open in another program; close it"),
        (errno.EROFS, "the place is read-only"),
        (errno.ENAMETOOLONG, "name an output folder with a shorter path"),
    ],
)
def test_what_the_system_refuses_is_told_with_its_remedy(number, remedy, capsys):
    told = told_of(of_the_system(number, "week/out.xlsx"), capsys)
    assert told.startswith(f"railwright: the run could not be completed (week/out.xlsx): {os.strerror(number)}: ")
    assert remedy in told
    assert told.endswith(".\n")


def test_a_failure_without_a_known_remedy_ends_like_a_sentence_too(capsys):
    number = errno.EIO
    assert (
        told_of(of_the_system(number), capsys)
        == f"railwright: the run could not be completed: {os.strerror(number)}.\n"
    )


@pytest.mark.parametrize(("length", "told"), [(259, False), (260, True)])
def test_windows_finds_no_file_with_a_longer_path(length, told, capsys, monkeypatch):
    monkeypatch.setattr(sys, "platform", "win32")
    assert ("too long" in told_of(of_the_system(errno.ENOENT, "x" * length), capsys)) == told


def test_a_disk_without_room_for_any_temporary_file_is_a_sentence_too(capsys, monkeypatch):
    def nowhere() -> str:
        raise FileNotFoundError(errno.ENOENT, "No usable temporary directory found")

    monkeypatch.setattr(tempfile, "gettempdir", nowhere)
    assert "where temporary files go, and run again." in told_of(of_the_system(errno.ENOSPC), capsys)
    with pytest.raises(SystemExit):
        faulty()
    assert "nobody foresaw this" in capsys.readouterr().err
