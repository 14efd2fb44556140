"""What purchasing and the saw read of instruments that are made before every doubt is settled."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook

import hand_made_week as week
from railwright.pipeline import _need
from railwright.survey.findings import Finding
from railwright.writing.cutting_book import write_cutting_book
from railwright.writing.order_book import write_order_book
from railwright.writing.week import Week

SLIPPED = Finding("needed_before_survey", "confirm", "Needed before the survey.", "needed_by")


def unconfirmed() -> Week:
    one, other, *rest = week.week().instruments
    return replace(week.week(), instruments=(one, replace(other, findings=(week.RUN,)), *rest))


def rows(path: Path, sheet: str) -> list[str]:
    lines = load_workbook(path)[sheet].iter_rows(values_only=True)
    return [" ".join(str(value) for value in line if value is not None) for line in lines]


def test_the_order_marks_unconfirmed_orders_and_counts_their_instruments(tmp_path: Path) -> None:
    write_order_book(unconfirmed(), tmp_path / "o.xlsx")
    order = rows(tmp_path / "o.xlsx", "Order")
    assert "1 of 2 TO CONFIRM, a reading is still in doubt: R-102." in order[1]
    assert all("R-102 TO CONFIRM" in line for line in order[4:] if "R-102" in line)
    kits = [line for line in rows(tmp_path / "o.xlsx", "By instrument")[4:] if "R-10" in line]
    assert kits and all(("TO CONFIRM" in line) == ("R-102" in line) for line in kits)


def test_the_cutting_list_marks_unconfirmed_pieces(tmp_path: Path) -> None:
    write_cutting_book(unconfirmed(), tmp_path / "c.xlsx")
    pieces = [line for line in rows(tmp_path / "c.xlsx", "RC-S08")[8:] if "R-10" in line]
    assert all(("R-102/1 TO CONFIRM" in line or "R-102/3 TO CONFIRM" in line) == ("R-102" in line) for line in pieces)


def test_a_released_week_is_not_marked(tmp_path: Path) -> None:
    write_order_book(week.week(), tmp_path / "o.xlsx")
    write_cutting_book(week.week(), tmp_path / "c.xlsx")
    told = [
        line
        for name in ("o", "c")
        for s in load_workbook(tmp_path / f"{name}.xlsx")
        for line in rows(tmp_path / f"{name}.xlsx", s.title)
    ]
    assert not [line for line in told if "TO CONFIRM" in line]


@pytest.mark.parametrize(
    ("findings", "day"), [((), date(2026, 4, 1)), ((week.RUN,), date(2026, 4, 1)), ((SLIPPED,), None)]
)
def test_a_day_before_the_survey_sets_no_day_of_the_order(findings: tuple[Finding, ...], day: date | None) -> None:
    assert _need(replace(week.week().instruments[0], findings=findings)).needed_by == day
