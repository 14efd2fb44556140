"""The cutting list as a workbook: a sheet for each material, its bars in sawing order, to be ticked off at the saw."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from openpyxl.worksheet.worksheet import Worksheet

from railwright.shop.cutting.felt_model import FeltPlan
from railwright.shop.cutting.model import Plan, tenths
from railwright.shop.order_model import CuttingSheet
from railwright.shop.remnants import Racks, Rest, rack_labels
from railwright.shop.sheet_lines import Lines
from railwright.shop.sheet_look import (
    Value,
    add_sheet,
    fit_height,
    hairline,
    headings,
    new_workbook,
    print_setup,
    put,
    remark,
    title,
    total_line,
    widths,
)
from railwright.shop.workbook_file import save_workbook
from railwright.writing.confirming import unconfirmed_orders, unconfirmed_words
from railwright.writing.cutting_lines import (
    FELT_MARKS,
    BarGroup,
    Cut,
    bar_groups,
    bar_words,
    marks_words,
    rest_words,
    totals_words,
    unplaced_words,
    yield_percent,
)
from railwright.writing.felt_lines import (
    FeltGroup,
    FeltStrip,
    felt_groups,
    felt_pieces,
    felt_totals_words,
    felt_yield_percent,
    sheet_words,
)
from railwright.writing.numbers import fixed
from railwright.writing.proof_sheet import add_proofs
from railwright.writing.proof_words import known_words
from railwright.writing.safety import SAFETY_LINE
from railwright.writing.saw_hand import with_strokes
from railwright.writing.week import Week

_OVERVIEW_HEADINGS = ("Item", "Name", "Pieces", "Bars or sheets", "Yield %", "What is known of the cost")
_OVERVIEW_WIDTHS = (11, 34, 9, 11, 9, 54)
_HEADINGS = ("Sawn", "Bar", "Stock", "Piece", "Length mm", "Saw", "From mm", "To mm", "Left over mm", "Rack")
_WIDTHS = (7, 10, 25, 28, 10, 25, 9, 9, 12, 16)
_NUMBERS = frozenset({"Pieces", "Bars or sheets", "Yield %", "Length mm", "From mm", "To mm", "Left over mm"})
_HEADING_ROW = 7
_FELT_HEADINGS = ("Cut", "Sheet", "Stock", "Piece", "Length mm", "Strip", "From mm", "To mm", "Left over mm", "Rack")
_MM = "0.0"


def write_cutting_book(week: Week, path: Path) -> None:
    """Write the cutting list of a run.

    Args:
        week: the run; one sheet a material follows the overview.
        path: the workbook to write.
    """
    workbook, overview = new_workbook("Overview", "Cutting list")
    _write_overview(overview, week)
    racks = rack_labels(week.cutting, week.book)
    for material in week.cutting:
        sheet = add_sheet(workbook, material.item)
        if isinstance(material.plan, Plan):
            _write_bars(sheet, material, material.plan, week, racks)
        else:
            _write_felt(sheet, material, material.plan, week, racks)
    add_proofs(overview, week)
    save_workbook(workbook, path)


def _write_overview(sheet: Worksheet, week: Week) -> None:
    widths(sheet, _OVERVIEW_WIDTHS)
    title(sheet, 1, "Cutting list")
    remark(
        sheet,
        2,
        f"Shop book {week.book.name}. One sheet a material. {SAFETY_LINE} {unconfirmed_words(week)}".rstrip(),
        len(_OVERVIEW_HEADINGS),
    )
    headings(sheet, 4, _OVERVIEW_HEADINGS, _NUMBERS)
    for row, material in enumerate(week.cutting, start=5):
        for column, value in enumerate(_overview_line(material, week), start=1):
            put(sheet, row, column, value, _MM if isinstance(value, float) else "")
        fit_height(sheet, row)
        hairline(sheet, row, len(_OVERVIEW_HEADINGS))
    if not week.cutting:
        remark(sheet, 5, "Nothing to cut: no instrument of this run is made.", len(_OVERVIEW_HEADINGS))
    print_setup(sheet, 4, "Cutting list", landscape=True)


def _overview_line(material: CuttingSheet, week: Week) -> tuple[Value, ...]:
    plan = material.plan
    proof = known_words(material, week.book)
    if plan.unplaced:
        proof = f"{len(plan.unplaced)} not placed! {proof}"
    if isinstance(plan, Plan):
        pieces, stock, share = sum(len(bar.pieces) for bar in plan.bars), len(plan.bars), yield_percent(plan)
    else:
        pieces, stock, share = len(felt_pieces(plan)), len(plan.sheets), felt_yield_percent(plan)
    return material.item, material.name, pieces, stock, round(share, 1), proof


def _write_bars(sheet: Worksheet, material: CuttingSheet, plan: Plan, week: Week, racks: Racks) -> None:
    row = _write_top(sheet, material, totals_words(plan), marks_words(plan), _HEADINGS, week)
    lines = Lines(sheet)
    for group in bar_groups(plan, unconfirmed_orders(week)):
        row = _write_group(lines, row, group, racks)
    _write_bottom(sheet, row, totals_words(plan), material)


def _write_felt(sheet: Worksheet, material: CuttingSheet, plan: FeltPlan, week: Week, racks: Racks) -> None:
    row = _write_top(sheet, material, felt_totals_words(plan), FELT_MARKS, _FELT_HEADINGS, week)
    lines = Lines(sheet)
    for group in felt_groups(plan, unconfirmed_orders(week)):
        row = _write_felt_group(lines, row, group, racks)
    _write_bottom(sheet, row, felt_totals_words(plan), material)


def _write_top(
    sheet: Worksheet, material: CuttingSheet, totals: str, marks: str, texts: Sequence[str], week: Week
) -> int:
    """Write what stands above the list, and what could not be placed; give the next free row."""
    plan = material.plan
    widths(sheet, _WIDTHS)
    title(sheet, 1, f"{'Saw' if material.kind == 'bar' else 'Cut'}: {material.item}  {material.name}")
    for row, words in enumerate((totals, known_words(material, week.book), marks, SAFETY_LINE), start=2):
        remark(sheet, row, words, len(_HEADINGS))
    headings(sheet, _HEADING_ROW, texts, _NUMBERS)
    row = _HEADING_ROW + 1
    for piece in plan.unplaced:
        remark(sheet, row, f"NOT PLACED: {unplaced_words(piece)}", len(_HEADINGS))
        row += 1
    return row


def _write_bottom(sheet: Worksheet, row: int, totals: str, material: CuttingSheet) -> None:
    remark(sheet, row, totals, len(_HEADINGS))
    total_line(sheet, row, len(_HEADINGS))
    sheet.freeze_panes = f"A{_HEADING_ROW + 1}"
    print_setup(sheet, _HEADING_ROW, f"Cutting list {material.item}", landscape=True)


def _write_group(lines: Lines, row: int, group: BarGroup, racks: Racks) -> int:
    """Write the bars that are sawn alike; give the next free row."""
    times = f"x {group.count}" if group.count > 1 else ""
    for position, cut in enumerate(group.cuts):
        head = (f"{group.numbers} {times}".strip(), bar_words(group.stock)) if position == 0 else ("", "")
        _write_cells(lines, row, (boxes(group.count), *head, *_cut_values(cut)))
        row += 1
    rest = rest_words(Rest(group.stock.item, tenths(group.remnant_mm)), racks)
    _write_cells(lines, row, ("", "", "", "left over", "", "", "", "", group.remnant_mm, rest), ruled=True)
    return row + 1


def _write_felt_group(lines: Lines, row: int, group: FeltGroup, racks: Racks) -> int:
    """Write the sheets that are cut alike, strip by strip; give the next free row."""
    times = f"x {group.count}" if group.count > 1 else ""
    head: tuple[Value, Value] = (f"{group.numbers} {times}".strip(), sheet_words(group.sheet))
    for number, strip in enumerate(group.strips, start=1):
        across = f"{number}: {fixed(strip.width_mm)} wide, {fixed(strip.from_mm)} to {fixed(strip.to_mm)}"
        for cut in strip.cuts:
            values = (", ".join(cut.labels), cut.length_mm, across, cut.from_mm, cut.to_mm)
            rest = _strip_rest(group, strip, racks) if cut is strip.cuts[-1] else ()
            _write_cells(lines, row, (boxes(group.count), *head, *values, *rest))
            head, across = ("", ""), ""
            row += 1
    left = Rest(group.sheet.item, group.sheet.length, tenths(group.remnant_mm))
    words = rest_words(left, racks) if left.width else ""
    left_words = f"left of the width {fixed(group.remnant_mm)}"
    _write_cells(lines, row, ("", "", "", left_words, "", "", "", "", "", words), ruled=True)
    return row + 1


def _strip_rest(group: FeltGroup, strip: FeltStrip, racks: Racks) -> tuple[Value, Value]:
    """Give what is left of a strip, and what becomes of it."""
    rest = Rest(group.sheet.item, tenths(strip.remnant_mm), tenths(strip.width_mm))
    return strip.remnant_mm, rest_words(rest, racks)


def boxes(count: int) -> str:
    """Give a tick box for each of a few bars, or one box with the number of bars."""
    return "☐" * count if count <= 4 else f"☐ x {count}"


def _cut_values(cut: Cut) -> tuple[Value, ...]:
    return ", ".join(cut.labels), cut.length_mm, with_strokes(cut.setting), cut.from_mm, cut.to_mm


def _write_cells(lines: Lines, row: int, values: Sequence[Value], ruled: bool = False) -> None:
    lines.add(row, [(value, _MM if isinstance(value, float) else "") for value in values], ruled=ruled)
