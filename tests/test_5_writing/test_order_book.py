"""The parts order as purchasing gets it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.workbook import Workbook

import hand_made_week
from railwright.writing.order_book import orders_words, write_order_book


@pytest.fixture(scope="module")
def order(tmp_path_factory: pytest.TempPathFactory) -> Workbook:
    path = tmp_path_factory.mktemp("order") / "parts-order.xlsx"
    write_order_book(hand_made_week.week(), path)
    return load_workbook(path)


def rows(workbook: Workbook, sheet: str) -> list[list[object]]:
    return [[cell.value for cell in row] for row in workbook[sheet].iter_rows(min_row=5)]


def test_one_line_an_item_then_the_total(order: Workbook) -> None:
    lines = rows(order, "Order")
    assert [line[1] for line in lines[:4]] == ["HA-01", "HF-10", "HL-01", "RC-S08"]
    assert lines[0][3:10] == [7.5, 0, 250, "g", 1, 250, 9]
    assert lines[4][2:10:7] == ["Total", 30]


def test_what_the_shelf_covers_is_not_to_tick_and_what_has_no_price_says_so(order: Workbook) -> None:
    lines = rows(order, "Order")
    assert [line[0] for line in lines[:4]] == ["☐", None, "☐", "☐"]
    assert [line[9] for line in lines[:4]] == [9, 0, "no price", 21]
    assert lines[5][0] == "HL-01: no price in the shop book; it is not in the total."


def test_a_sheet_for_each_supplier_group_holds_what_is_bought_there(order: Workbook) -> None:
    assert order.sheetnames == ["Order", "Buy hardware", "Buy metals", "By day", "By instrument"]
    assert [line[1] for line in rows(order, "Buy hardware")] == ["HA-01", None]


def test_the_kits_of_the_instruments_that_are_made(order: Workbook) -> None:
    lines = rows(order, "By instrument")
    assert [line[1] for line in lines] == ["R-101"] * 3 + ["R-102"] * 3
    name = hand_made_week.week().book.carriers[4].name
    assert lines[0][2:8] == ["Old Mill School", datetime(2026, 4, 1), "RC-S08", name, 668.4, "mm"]


def test_text_that_starts_like_a_formula_stays_text(order: Workbook) -> None:
    cell = order["Order"]["C8"]
    assert (cell.value, cell.data_type, cell.quotePrefix) == ("=square tube 8 x 8 x 1, bar 2500 mm", "s", True)
    formulas = [c for sheet in order for row in sheet.iter_rows() for c in row if c.data_type == "f"]
    assert formulas == []


def test_headings_repeat_on_every_page_and_one_page_is_as_wide_as_the_paper(order: Workbook) -> None:
    for sheet in order:
        assert sheet.print_title_rows == "$4:$4"
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)
        assert sheet.sheet_properties.pageSetUpPr.fitToPage


def test_many_orders_are_not_all_spelled_out() -> None:
    many = [f"R-{n}" for n in range(15)]
    assert orders_words(many[:12]).endswith("R-11")
    assert orders_words(many).endswith("R-11 and 3 more (sheet By instrument)")


def test_nothing_made_gives_an_empty_order(tmp_path: Path) -> None:
    write_order_book(replace(hand_made_week.week(), instruments=(), order=(), notes=()), tmp_path / "o.xlsx")
    book = load_workbook(tmp_path / "o.xlsx")
    assert book.sheetnames == ["Order", "By day", "By instrument"]
    assert rows(book, "Order")[0][2:10:7] == ["Total", 0]
