"""A fault that nobody foresaw: a sentence, the contract's exit status, and its details kept where they can be."""

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
