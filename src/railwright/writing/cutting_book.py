"""The cutting list as a workbook: a sheet for each material, its bars in sawing order, to be ticked off at the saw."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from openpyxl.worksheet.worksheet import Worksheet

from railwright.shop.cutting.model import Plan
from railwright.shop.order_model import CuttingSheet
from railwright.shop.sheet_look import (
    Value,
    add_sheet,
    hairline,
    headings,
    new_workbook,
    print_setup,
    put,
    remark,
    save_workbook,
    title,
    total_line,
    widths,
)
from railwright.writing.cutting_lines import (
    BarGroup,
    Cut,
    bar_groups,
    proof_words,
    source_words,
    totals_words,
    unplaced_words,
    yield_percent,
)
from railwright.writing.numbers import plain
from railwright.writing.safety import SAFETY_LINE
from railwright.writing.week import Week

_OVERVIEW_HEADINGS = ("Item", "Name", "Pieces", "Bars or sheets", "Yield %", "What is known of the cost")
_OVERVIEW_WIDTHS = (11, 34, 9, 11, 9, 54)
_HEADINGS = ("Sawn", "Bar", "Stock", "Piece", "Length mm", "Saw", "From mm", "To mm", "Left over mm", "Rack")
_WIDTHS = (7, 10, 24, 28, 10, 13, 9, 9, 12, 16)
_NUMBERS = frozenset({"Pieces", "Bars or sheets", "Yield %", "Length mm", "From mm", "To mm", "Left over mm"})
_HEADING_ROW = 7
_MM = "0.0"


def write_cutting_book(week: Week, path: Path) -> None:
    """Write the cutting list of a run.

    Args:
        week: the run; one sheet a material follows the overview.
        path: the workbook to write.
    """
    workbook, overview = new_workbook("Overview", "Cutting list")
    _write_overview(overview, week)
    for material in week.cutting:
        sheet = add_sheet(workbook, material.item)
        if isinstance(material.plan, Plan):
            _write_bars(sheet, material, material.plan, week)
    save_workbook(workbook, path)


def _write_overview(sheet: Worksheet, week: Week) -> None:
    widths(sheet, _OVERVIEW_WIDTHS)
    title(sheet, 1, "Cutting list")
    remark(sheet, 2, f"Shop book {week.book.name}. One sheet a material. {SAFETY_LINE}", len(_OVERVIEW_HEADINGS))
    headings(sheet, 4, _OVERVIEW_HEADINGS, _NUMBERS)
    for row, material in enumerate(week.cutting, start=5):
        for column, value in enumerate(_overview_line(material, week), start=1):
            put(sheet, row, column, value, _MM if isinstance(value, float) else "")
        hairline(sheet, row, len(_OVERVIEW_HEADINGS))
    if not week.cutting:
        remark(sheet, 5, "Nothing to cut: no instrument of this run is made.", len(_OVERVIEW_HEADINGS))
    print_setup(sheet, 4, "Cutting list", landscape=True)


def _overview_line(material: CuttingSheet, week: Week) -> tuple[Value, ...]:
    plan = material.plan
    proof = proof_words(plan.cents, plan.bound_cents, plan.proven, week.book.text("currency"))
    if plan.unplaced:
        proof = f"{len(plan.unplaced)} not placed! {proof}"
    assert isinstance(plan, Plan)
    pieces = sum(len(bar.pieces) for bar in plan.bars)
    return material.item, material.name, pieces, len(plan.bars), round(yield_percent(plan), 1), proof


def _write_bars(sheet: Worksheet, material: CuttingSheet, plan: Plan, week: Week) -> None:
    columns = len(_HEADINGS)
    widths(sheet, _WIDTHS)
    title(sheet, 1, f"Saw: {material.item}  {material.name}")
    remark(sheet, 2, totals_words(plan), columns)
    remark(sheet, 3, proof_words(plan.cents, plan.bound_cents, plan.proven, week.book.text("currency")), columns)
    remark(sheet, 4, marks_words(plan), columns)
    remark(sheet, 5, SAFETY_LINE, columns)
    headings(sheet, _HEADING_ROW, _HEADINGS, _NUMBERS)
    row = _write_unplaced(sheet, _HEADING_ROW + 1, plan)
    for group in bar_groups(plan):
        row = _write_group(sheet, row, group)
    remark(sheet, row, totals_words(plan), columns)
    total_line(sheet, row, columns)
    sheet.freeze_panes = f"A{_HEADING_ROW + 1}"
    print_setup(sheet, _HEADING_ROW, f"Cutting list {material.item}", landscape=True)


def marks_words(plan: Plan) -> str:
    """Explain the running marks."""
    trim = f" after an end trim of {plain(plan.trim / 10)} mm" if plan.trim else ""
    return (
        f"From and To are measured from one end of the bar{trim}, long point to long point; each saw cut "
        f"({plain(plan.kerf / 10)} mm) lies beyond To. Saw left or right as on the drawing of the segment."
    )


def _write_unplaced(sheet: Worksheet, row: int, plan: Plan) -> int:
    for piece in plan.unplaced:
        remark(sheet, row, f"NOT PLACED: {unplaced_words(piece)}", len(_HEADINGS))
        row += 1
    return row


def _write_group(sheet: Worksheet, row: int, group: BarGroup) -> int:
    """Write the bars that are sawn alike; give the next free row."""
    times = f"x {group.count}" if group.count > 1 else ""
    stock = f"{plain(group.stock.length / 10)} mm, {source_words(group.stock)}"
    for position, cut in enumerate(group.cuts):
        head = (f"{group.numbers} {times}".strip(), stock) if position == 0 else ("", "")
        _write_cells(sheet, row, (boxes(group.count), *head, *_cut_values(cut)))
        row += 1
    rest = "" if group.remnant_mm == 0 else "mark and rack:"
    _write_cells(sheet, row, ("", "", "", "left over", "", "", "", "", group.remnant_mm, rest))
    hairline(sheet, row, len(_HEADINGS))
    return row + 1


def boxes(count: int) -> str:
    """Give a tick box for each of a few bars, or one box with the number of bars."""
    return "☐" * count if count <= 4 else f"☐ x {count}"


def _cut_values(cut: Cut) -> tuple[Value, ...]:
    return ", ".join(cut.labels), cut.length_mm, cut.setting, cut.from_mm, cut.to_mm


def _write_cells(sheet: Worksheet, row: int, values: Sequence[Value]) -> None:
    for column, value in enumerate(values, start=1):
        put(sheet, row, column, value, _MM if isinstance(value, float) else "")
