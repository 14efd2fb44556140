"""The shelf after the week as purchasing gets it, and the order by day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.workbook import Workbook

from railwright.book.default_catalogue import default_shop_book
from railwright.computing.results import CarrierCut, FeltCut, InstrumentResult, Part, SectionResult, Station
from railwright.shop.book_file import read_shop_book, write_shop_book
from railwright.shop.order import order_lines
from railwright.shop.order_model import InstrumentNeed
from railwright.shop.planning import cutting_sheets
from railwright.writing.cutting_book import write_cutting_book
from railwright.writing.order_book import write_order_book
from railwright.writing.stock_after import write_stock_after
from railwright.writing.week import Week

EARLY, LATE = date(2031, 4, 9), date(2031, 5, 3)


def segment(length_mm: float) -> InstrumentResult:
    carrier = CarrierCut("RC-S08", length_mm, length_mm, 0.0, "square", 0.0, length_mm, 8.0, 8.0)
    felt = FeltCut("FE-30", length_mm, 8.0, 3.0)
    return InstrumentResult(
        (SectionResult(1, "bass", 1, 20, carrier=carrier, felt=felt, stations=(Station(1, 0, 0),)),)
    )


def small_week() -> Week:
    """Two instruments: a bar of 2500 on the shelf, an offcut of 486.5 in rack B2, screws that come boxed."""
    book = default_shop_book()
    lengths = {"A": 480.0, "B": 900.0}
    days = {"A": EARLY, "B": LATE}
    cutting = cutting_sheets([(order, segment(length)) for order, length in lengths.items()], book)
    screws = {"A": 100, "B": 680}
    needs = [InstrumentNeed(o, "hall", days[o], (Part("HW-M2", screws[o], "pieces"),)) for o in lengths]
    order, notes = order_lines(needs, cutting, book)
    return Week(book, (), order, cutting, notes)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Workbook]:
    folder = tmp_path_factory.mktemp("after")
    write_stock_after(small_week(), folder / "stock.xlsx")
    write_order_book(small_week(), folder / "order.xlsx")
    write_cutting_book(small_week(), folder / "cutting.xlsx")
    return {name: load_workbook(folder / f"{name}.xlsx") for name in ("stock", "order", "cutting")}


def rows(workbook: Workbook, sheet: str, first: int) -> list[list[object]]:
    return [[cell.value for cell in row] for row in workbook[sheet].iter_rows(min_row=first)]


def test_the_sheet_of_changes_adds_up_line_by_line(made: dict[str, Workbook]) -> None:
    told = {(line[0], line[2], line[3]): line[5:10] for line in rows(made["stock"], "What changed", 6)}
    assert told["RC-S08", "486.5", "B2"] == [1, 0, 1, 0, "offcut used up"]
    assert told["RC-S08", "2500", None] == [1, 0, 1, 0, None]
    assert told["RC-S08", "1598.4", "R1"] == [None, None, None, 1, "new offcut: mark it so"]
    assert told["HW-M2", None, None] == [40, 0, 40, 0, None]
    assert told["HW-M2B", None, None] == [0, 750, 740, 10, None]


def test_the_sheet_of_stock_goes_into_the_shop_book_as_it_is(made: dict[str, Workbook], tmp_path: Path) -> None:
    own = replace(default_shop_book(), name="north bench")
    write_shop_book(tmp_path / "book.xlsx", own)
    book = load_workbook(tmp_path / "book.xlsx")
    del book["Stock"]
    target = book.create_sheet("Stock")
    for row in made["stock"]["Stock"].iter_rows(values_only=True):
        target.append(row)
    book.save(tmp_path / "book.xlsx")
    read, notes = read_shop_book(tmp_path / "book.xlsx")
    assert notes == ()
    shelf = {(line.item, line.length_mm, line.rack): line.on_hand for line in read.stock}
    assert ("RC-S08", Decimal("486.5"), "B2") not in shelf
    assert shelf["RC-S08", Decimal("1598.4"), "R1"] == 1
    assert shelf["RC-F15", Decimal(402), "B4"] == 1
    assert replace(read, stock=()) == replace(own, stock=())


def test_the_saw_marks_the_rest_with_the_label_of_the_new_offcut(made: dict[str, Workbook]) -> None:
    left_over = [line[8:10] for line in rows(made["cutting"], "RC-S08", 8) if line[3] == "left over"]
    assert [1598.4, "keep: mark R1"] in left_over
    assert [4.9, "not kept"] in left_over


def test_needs_stand_by_day_with_a_running_total(made: dict[str, Workbook]) -> None:
    lines = [line for line in rows(made["order"], "By day", 5) if str(line[1]).startswith("HW")]
    assert [line[0].date() for line in lines] == [EARLY, LATE]
    assert [line[3:7] for line in lines] == [[100, 100, 40, 60], [680, 780, 40, 740]]
    assert [line[8] for line in lines] == ["A", "B"]


def test_what_is_bought_in_the_place_of_another_item_says_so(made: dict[str, Workbook]) -> None:
    (line,) = [line for line in rows(made["order"], "Order", 5) if str(line[1]).startswith("HW")]
    assert line[1:3] == ["HW-M2B", "station screw M2 x 5, boxed, for HW-M2 (serves alike)"]
    assert "HW-M2B is bought for HW-M2: they serve alike and it costs less so." in small_week().notes


def test_what_is_kept_is_said_with_its_rule(made: dict[str, Workbook]) -> None:
    words = str(made["stock"]["What changed"]["A3"].value)
    assert "150 mm long (offcut_keep)" in words and "20 mm wide too (felt_keep_width)" in words


def test_a_week_with_nothing_made_leaves_the_shelf(tmp_path: Path) -> None:
    write_stock_after(replace(small_week(), order=(), cutting=()), tmp_path / "s.xlsx")
    book = load_workbook(tmp_path / "s.xlsx")
    assert book["What changed"]["A6"].value == "Nothing: the week neither buys nor cuts."
    assert book["Stock"].max_row == 1 + len(default_shop_book().stock)


def test_the_same_week_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("a", "b"):
        write_stock_after(small_week(), tmp_path / f"{name}.xlsx")
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()
