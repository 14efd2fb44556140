"""``railwright shop-book``: the default shop book, never over a file that is there."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from railwright.book.default_catalogue import default_shop_book
from railwright.commands.shop_book import shop_book
from railwright.shop.book_file import read_shop_book


def run(*arguments: str) -> Result:
    return CliRunner().invoke(shop_book, list(arguments))


def test_it_writes_the_default_book(tmp_path: Path) -> None:
    result = run("-o", str(tmp_path / "new" / "book.xlsx"))
    assert result.exit_code == 0
    assert read_shop_book(tmp_path / "new" / "book.xlsx") == (replace(default_shop_book(), name="book"), ())


def test_a_file_that_is_there_stays_unless_forced(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(b"mine")
    result = run("-o", str(path))
    assert (result.exit_code, path.read_bytes()) == (2, b"mine")
    assert "already there" in result.output
    assert run("-o", str(path), "--force").exit_code == 0
    assert path.read_bytes() != b"mine"


@pytest.mark.parametrize("name", ["book.ods", "book"])
def test_another_ending_is_refused(tmp_path: Path, name: str) -> None:
    result = run("-o", str(tmp_path / name))
    assert result.exit_code == 2
    assert "ends in .xlsx" in result.output


def test_a_place_that_cannot_be_written_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    result = run("-o", str(tmp_path / "file" / "book.xlsx"))
    assert result.exit_code == 3
    assert "could not be completed" in result.output and "Traceback" not in result.output
