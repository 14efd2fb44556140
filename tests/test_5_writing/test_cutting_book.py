"""The cutting list as the saw gets it."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest
from lxml import html
from openpyxl import load_workbook
from openpyxl.workbook import Workbook

import hand_made_week as week
from railwright.shop.cutting.model import Bar, Certificate, Piece, Plan, ShelfProof, Stock
from railwright.shop.order_model import CuttingSheet
from railwright.writing.bar_strip import bar_strip, felt_sheet
from railwright.writing.cutting_book import boxes, write_cutting_book
from railwright.writing.cutting_lines import bar_groups, totals_words, yield_percent
from railwright.writing.felt_lines import felt_groups, felt_totals_words, felt_yield_percent
from railwright.writing.proof_words import known_words, proof_words
from railwright.writing.safety import SAFETY_LINE


@pytest.fixture(scope="module")
def cutting(tmp_path_factory: pytest.TempPathFactory) -> Workbook:
    path = tmp_path_factory.mktemp("cutting") / "cutting-list.xlsx"
    write_cutting_book(week.week(), path)
    return load_workbook(path)


def lines(workbook: Workbook) -> list[list[object]]:
    return [[cell.value for cell in row] for row in workbook["RC-S08"].iter_rows(min_row=8)]


def test_bars_sawn_alike_are_one_entry_with_the_label_of_every_piece() -> None:
    groups = bar_groups(week.bar_plan())
    assert [(g.numbers, g.count) for g in groups] == [("1", 1), ("2 to 3", 2)]
    assert [cut.labels for cut in groups[1].cuts] == [("R-101/1", "R-102/1"), ("R-101/3", "R-102/3")]


def test_running_marks_leave_one_saw_cut_between_pieces() -> None:
    first, second = bar_groups(week.bar_plan())[1].cuts
    assert (first.from_mm, first.to_mm) == (0.0, 283.4)
    assert (second.from_mm, second.to_mm) == (pytest.approx(285.0), pytest.approx(885.0))


def test_the_end_trim_comes_before_the_first_mark() -> None:
    cut = bar_groups(replace(week.bar_plan(), trim=50))[0].cuts[0]
    assert (cut.from_mm, cut.to_mm) == (5.0, 368.0)


def test_another_setting_is_another_bar() -> None:
    plan = week.bar_plan()
    turned = Bar(plan.bars[2].stock, (Piece("R-102/1", 2834, "right 12.0"), plan.bars[2].pieces[1]), 16134)
    assert [g.count for g in bar_groups(replace(plan, bars=(*plan.bars[:2], turned)))] == [1, 1, 1]


def test_the_last_mark_the_cut_and_the_remnant_make_up_the_bar() -> None:
    plan = week.bar_plan()
    for group in bar_groups(plan):
        used = group.cuts[-1].to_mm + plan.kerf / 10
        assert used + group.remnant_mm == pytest.approx(group.stock.length / 10)


def test_totals_and_proof_in_words() -> None:
    plan = week.bar_plan()
    assert yield_percent(plan) == pytest.approx(100 * (363 + 2 * 883.4) / 5486.5)
    assert totals_words(plan) == "3 bars, 5 pieces; 2129.8 mm cut from 5486.5 mm, yield 38.8 %; 2 saw settings."
    assert proof_words(2100, 1050, False, "units") == (
        "Cost 21.00 units: with each piece taken over its long points no plan costs less than 10.50 units "
        "(at most 50 % less)."
    )
    assert proof_words(2100, 2100, True, "units") == (
        "Cost 21.00 units: proven, with each piece taken over its long points; no such plan costs less."
    )


def known(plan: Plan, *faults: str) -> str:
    return known_words(CuttingSheet("RC-S08", "tube", "bar", plan, faults), week.week().book)


def test_what_is_known_where_nothing_is_bought() -> None:
    plan = week.bar_plan()
    from_offcut = replace(plan, bars=plan.bars[:1], unplaced=(), cents=0, bound_cents=0, proven=True)
    assert known(from_offcut) == "Nothing to buy: the shelf suffices."
    assert known(replace(from_offcut, unplaced=plan.unplaced)) == "Nothing is bought."
    whole = replace(plan.bars[1], stock=Stock("RC-S08", 25000, 0, 3))
    shelf = replace(from_offcut, bars=(whole,), shelf=ShelfProof(25000, Certificate()))
    assert known(shelf) == (
        "Nothing to buy: the shelf suffices. "
        "Whole from the shelf: 1 bar, 2500 mm, proven: no plan with this purchase takes less."
    )
    assert known(replace(shelf, shelf=ShelfProof(20000, Certificate()))).endswith(
        "2500 mm, and no plan with this purchase takes 20 % less."
    )


def test_a_plan_that_failed_its_check_is_not_called_proven() -> None:
    proven = replace(week.bar_plan(), bound_cents=2100, proven=True)
    assert known(proven).startswith("Cost 21.00: proven")
    assert known(proven, "bar 1: its pieces are longer than the bar").startswith("NOT TO BE TRUSTED")


def test_the_sheet_of_a_material(cutting: Workbook) -> None:
    told = lines(cutting)
    assert str(told[0][0]).startswith("NOT PLACED: R-102/9, 4000.0 mm")
    assert told[1] == ["☐", "1", "486.5 mm, offcut, rack B2", "R-101/2", 363, "square  | |", 0, 363, None, None]
    assert told[2][3:] == ["left over", None, None, None, None, 121.9, "not kept"]
    assert told[3][:4] == ["☐☐", "2 to 3 x 2", "2500 mm, to buy", "R-101/1, R-102/1"]
    assert told[3][4:] == [283.4, "left 12.0  / /", 0, 283.4, None, None]
    assert str(told[-1][0]).startswith("3 bars, 5 pieces")


def corners(strip: str) -> list[list[tuple[float, float]]]:
    found = re.findall(r'polygon points="([^"]*)"', strip)
    return [[(float(x), float(y)) for x, y in (pair.split(",") for pair in points.split())] for points in found]


def test_the_drawn_strip_has_slanting_pieces_labels_and_running_marks() -> None:
    """2500 mm drawn 1000 wide: a piece of 283.4 mm set left 12 leans to the far edge, which is drawn above."""
    group = bar_groups(week.bar_plan())[1]
    strip = str(bar_strip(group))
    near_low, far_low, far_high, near_high = corners(strip)[0]
    assert near_low == (0.0, 54.0)
    assert far_low == (pytest.approx(54 * math.tan(math.radians(12)), abs=0.01), 0.0)
    assert far_high == (pytest.approx(283.4 * 0.4, abs=0.01), 0.0)
    assert near_high[0] == pytest.approx(283.4 * 0.4 - far_low[0], abs=0.02)
    assert ">283.4</text>" in strip
    assert all(f">{cut.to_mm:.1f}</text>" in strip for cut in group.cuts)
    assert "R-101/3 …" in strip


@pytest.mark.parametrize(("setting", "slants"), [("square", (0, 0)), ("right 10.0", (1, 0)), ("left 10.0", (0, 1))])
def test_ends_lean_as_the_saw_is_set(setting: str, slants: tuple[int, int]) -> None:
    plan = week.bar_plan()
    piece = replace(plan.bars[0].pieces[0], setup=setting)
    strip = str(bar_strip(bar_groups(replace(plan, bars=(replace(plan.bars[0], pieces=(piece,)),)))[0]))
    near, far = corners(strip)[0][:2]
    assert (int(near[0] > 0), int(far[0] > 0)) == slants


def test_a_label_too_long_for_its_piece_goes_without_the_mark_of_doubt() -> None:
    strip = str(bar_strip(bar_groups(week.bar_plan(), {"R-101"})[0]))
    assert ">R-101/2 TO CONFIRM</text>" in strip
    short = replace(week.bar_plan().bars[0], pieces=(Piece("R-101/2", 600, "square"),), remnant=4249)
    strip = str(bar_strip(bar_groups(replace(week.bar_plan(), bars=(short,)), {"R-101"})[0]))
    assert ">R-101/2</text>" in strip


def test_felt_sheets_cut_alike_are_one_entry_with_strips_across_and_pieces_along() -> None:
    (group,) = felt_groups(week.felt_plan())
    assert (group.numbers, group.count, group.remnant_mm) == ("1 to 2", 2, 480.0)
    assert [(strip.from_mm, strip.to_mm) for strip in group.strips] == [(0.0, 12.0), (12.0, 20.0)]
    assert [(cut.from_mm, cut.to_mm) for cut in group.strips[0].cuts] == [(0.0, 587.4), (587.4, 887.4)]
    assert group.strips[0].cuts[0].labels == ("R-101/3", "R-102/3")


def test_what_is_left_of_a_felt_sheet_is_named_in_its_place() -> None:
    """Sheets of 1200 x 500 mm, 480 of the width left: drawn 1000 wide, the middle of the rest lies at 260 / 1.2."""
    (group,) = felt_groups(week.felt_plan())
    (words,) = html.fromstring(felt_sheet(group)).iter("text")
    assert words.text == "left over: 480.0 of the width"
    assert float(words.get("y")) == pytest.approx(260 / 1.2, abs=0.05)
    assert "left over" not in felt_sheet(replace(group, remnant_mm=10.0))


def test_felt_totals_and_the_sheet_of_a_felt(cutting: Workbook) -> None:
    plan = week.felt_plan()
    area = 587.4 * 12 + 300 * 12 + 281.6 * 8
    assert felt_yield_percent(plan) == pytest.approx(100 * area / (1200 * 500))
    assert felt_totals_words(plan) == "2 sheets, 4 strips, 6 pieces; yield 2.2 % of the area."
    told = [[cell.value for cell in row] for row in cutting["FE-20"].iter_rows(min_row=8)]
    assert told[0][:4] == ["☐☐", "1 to 2 x 2", "1200 x 500 mm, to buy", "R-101/3, R-102/3"]
    assert told[0][4:9] == [587.4, "1: 12.0 wide, 0.0 to 12.0", 0, 587.4, None]
    assert told[1][4:9] == [300, None, 587.4, 887.4, 312.6]
    assert told[3][3] == "left of the width 480.0"


def test_safety_words_and_repeated_headings_on_every_sheet(cutting: Workbook) -> None:
    for sheet in cutting.worksheets[:-1]:  # the last one, Proof, is not for the saw
        assert any(SAFETY_LINE in str(cell.value) for row in sheet.iter_rows() for cell in row)
        assert sheet.print_title_rows in {"$4:$4", "$7:$7"}


def test_a_box_for_each_of_a_few_bars() -> None:
    assert (boxes(1), boxes(4), boxes(5)) == ("☐", "☐☐☐☐", "☐ x 5")


def test_nothing_to_cut_says_so(tmp_path: Path) -> None:
    write_cutting_book(replace(week.week(), cutting=()), tmp_path / "c.xlsx")
    overview = load_workbook(tmp_path / "c.xlsx")["Overview"]
    assert overview["A5"].value == "Nothing to cut: no instrument of this run is made."
