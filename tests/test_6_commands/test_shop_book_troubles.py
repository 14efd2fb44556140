"""What is wrong with the shop's own book reaches whoever runs it: on the terminal, in the pages, in the results."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from little_surveys import SECTION, little_survey
from railwright.book.default_catalogue import default_shop_book
from railwright.cli import main
from railwright.shop.book_columns import STOCK
from railwright.shop.book_file import write_shop_book

TENOR = SECTION | {"register": "tenor", "dampers": 20, "span": "10 13/16", "angle_1": 86}
TREBLE = SECTION | {"register": "treble", "dampers": 22, "span": "11 7/8", "angle_1": 90, "screws": "7"}
TREBLE |= {"gauge_low": "3/8", "gauge_high": "3/8"}


@pytest.fixture(scope="module")
def surveys(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("surveys")
    bass = SECTION | {"dampers": 22, "span": "11 7/8"}
    little_survey(folder / "a.xlsx", bass, TENOR, TREBLE, order_no="T-1", serial="A 4410")
    return folder


ROWS = {line.item: row for row, line in reversed([*enumerate(default_shop_book().stock, start=2)])}


def process(surveys: Path, tmp_path: Path, changes: dict[tuple[str, str], object]) -> tuple[Result, Path]:
    """Run a week with cells of the Stock sheet changed; each is named by its item and heading."""
    write_shop_book(tmp_path / "book.xlsx", default_shop_book())
    workbook = load_workbook(tmp_path / "book.xlsx")
    columns = {column.heading: place for place, column in enumerate(STOCK.columns, start=1)}
    for (item, heading), value in changes.items():
        workbook["Stock"].cell(ROWS[item], columns[heading]).value = value
    workbook.save(tmp_path / "book.xlsx")
    arguments = ["process", surveys, "-o", tmp_path / "out", "--shop-book", tmp_path / "book.xlsx"]
    return CliRunner().invoke(main, [str(argument) for argument in arguments]), tmp_path / "out"


FREE = f"HV-01: its price in the shop book is 0 (Stock!F{ROWS['HV-01']}), so it is ordered at no cost."
UNPRICED = f"HL-01: the shop book names no price to buy it at (Stock!F{ROWS['HL-01']}); 2 pieces are missing."
NO_LINE = "HV-01: the shop book's Stock sheet has no line for it, so it can be neither used nor bought; 1 are missing."


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({("HV-01", "Price"): 0}, FREE),
        ({("HL-01", "Price"): None}, UNPRICED),
        ({("HV-01", "Item"): "HF-30", ("HV-01", "Pack"): 7}, NO_LINE),
    ],
)
def test_what_cannot_be_bought_or_costs_nothing_is_told_everywhere(
    surveys: Path, tmp_path: Path, changes: dict[tuple[str, str], object], told: str
) -> None:
    result, out = process(surveys, tmp_path, changes)
    assert result.exit_code == 0, result.output
    document = json.loads((out / "results.json").read_text(encoding="utf-8"))
    assert document["notes"] == [told]
    assert told in result.stderr
    assert told.replace("'", "&#39;") in (out / "week.html").read_text(encoding="utf-8")


def test_a_sound_book_gives_no_note(surveys: Path, tmp_path: Path) -> None:
    result, out = process(surveys, tmp_path, {})
    document = json.loads((out / "results.json").read_text(encoding="utf-8"))
    assert (result.exit_code, document["notes"], result.stderr) == (0, [], "")
    assert all(line["buy_item"] == line["item"] for line in document["order"])
    assert all(sum(day["need"] for day in line["by_day"]) == pytest.approx(line["need"]) for line in document["order"])
    assert (out / "stock-after.xlsx").is_file()


@pytest.mark.parametrize(
    ("heading", "value", "told"),
    [
        ("Item", "HV-99", 'expected an item of Carriers, Felts or Hardware; found "HV-99"'),
        ("Price", -1, "expected a price, 0 or more; found -1"),
        ("On hand", -2, "expected a whole number, 0 or more; found -2"),
    ],
)
def test_what_makes_no_sense_stops_the_run_with_its_cell(
    surveys: Path, tmp_path: Path, heading: str, value: object, told: str
) -> None:
    result, out = process(surveys, tmp_path, {("HV-01", heading): value})
    assert result.exit_code == 3
    assert "Stock!" in result.stderr and told in result.stderr
    assert not out.exists()
