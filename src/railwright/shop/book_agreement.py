"""What the lines of a shop book must agree on: unique items, known items, shapes that exist, units that fit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import get_args

from railwright.book.model import HardwareKind
from railwright.shop.book_columns import CARRIERS, FELTS, HARDWARE, STOCK, Column, Table
from railwright.shop.book_tables import Row, Trouble

Tables = Mapping[str, Sequence[Row]]


def _cell(table: Table, attribute: str, row: Row) -> str:
    """Give a cell's address as a new shop book has it."""
    position = next(n for n, column in enumerate(table.columns) if column.attribute == attribute)
    return f"{'ABCDEFGHIJKLM'[position]}{row.number}"


def _number(row: Row, attribute: str) -> Decimal | None:
    value = row.cells.get(attribute)
    return value if isinstance(value, Decimal) else None


def check_catalogue(tables: Tables, trouble: Trouble) -> None:
    """Report items declared twice, empty sheets, and bars that cannot exist."""
    first: dict[str, str] = {}
    for table in (CARRIERS, FELTS, HARDWARE):
        if not tables[table.sheet]:
            trouble.tell(table.sheet, "A2", "at least one line", "none")
        for row in tables[table.sheet]:
            item = row.cells.get("item")
            if not isinstance(item, str):
                continue
            place = f"{table.sheet}!{_cell(table, 'item', row)}"
            if item in first:
                trouble.add(table.sheet, _cell(table, "item", row), f"every item once (also at {first[item]})", item)
            first.setdefault(item, place)
    for row in tables[CARRIERS.sheet]:
        _check_profile(row, trouble)
    _check_kinds(tables[HARDWARE.sheet], trouble)


def _check_kinds(rows: Sequence[Row], trouble: Trouble) -> None:
    """Report kinds of small parts that no kit can be made without."""
    kinds = {row.cells.get("kind") for row in rows}
    for kind in get_args(HardwareKind):
        if rows and kind not in kinds:
            trouble.tell(HARDWARE.sheet, "C2", f"at least one line of the kind {kind}", "none")


def _check_profile(row: Row, trouble: Trouble) -> None:
    """Report a wall that does not go with its bar."""
    shape, wall = row.cells.get("shape"), _number(row, "wall_mm")
    width, height = _number(row, "width_mm"), _number(row, "height_mm")
    if wall is None or width is None or height is None or shape is None:
        return
    cell = _cell(CARRIERS, "wall_mm", row)
    if shape == "flat" and wall != 0:
        trouble.add(CARRIERS.sheet, cell, "0 for a flat", wall)
    if shape != "flat" and not 0 < wall * 2 < min(width, height):
        trouble.add(CARRIERS.sheet, cell, "a wall above 0 and below half of the tube", wall)
    if shape != "flat" and width != height:
        trouble.add(CARRIERS.sheet, _cell(CARRIERS, "height_mm", row), f"the same as the width ({width})", height)


def check_stock(tables: Tables, trouble: Trouble) -> None:
    """Report stock lines of unknown items, in the wrong unit, without their sizes, or written twice."""
    sheets = {
        row.cells["item"]: table.sheet
        for table in (CARRIERS, FELTS, HARDWARE)
        for row in tables[table.sheet]
        if "item" in row.cells
    }
    seen: dict[tuple[object, ...], int] = {}
    for row in tables[STOCK.sheet]:
        item = row.cells.get("item")
        if item is None:
            continue
        if item not in sheets:
            trouble.add(STOCK.sheet, _cell(STOCK, "item", row), "an item of Carriers, Felts or Hardware", item)
            continue
        _check_sizes(row, sheets[item], trouble)
        _check_offcut(row, trouble)
        _check_twice(row, seen, trouble)
    stocked = {row.cells.get("item") for row in tables[STOCK.sheet]}
    for item, sheet in sheets.items():
        if item not in stocked:
            trouble.notes.append(
                f"{sheet}: {item} has no line on the Stock sheet, so it can be neither used nor bought."
            )


def _check_sizes(row: Row, sheet: str, trouble: Trouble) -> None:
    """Report a unit or a size that does not go with the kind of item."""
    units = {CARRIERS.sheet: ("bar",), FELTS.sheet: ("sheet",)}.get(sheet, ("pieces", "mm", "g"))
    unit = row.cells.get("unit")
    if unit is not None and unit not in units:
        trouble.add(STOCK.sheet, _cell(STOCK, "unit", row), f"{' or '.join(units)} for an item of {sheet}", unit)
    needed = {CARRIERS.sheet: ("length_mm",), FELTS.sheet: ("length_mm", "width_mm")}.get(sheet, ())
    for attribute in needed:
        if _number(row, attribute) == 0:
            trouble.add(STOCK.sheet, _cell(STOCK, attribute, row), "a size above 0", Decimal(0))


def _check_offcut(row: Row, trouble: Trouble) -> None:
    if row.cells.get("offcut") and row.cells.get("price") is not None:
        trouble.add(STOCK.sheet, _cell(STOCK, "price", row), "no price for an offcut", row.cells["price"])


def _check_twice(row: Row, seen: dict[tuple[object, ...], int], trouble: Trouble) -> None:
    """Report a line to buy that repeats another: what is on hand would count twice."""
    keys: tuple[Column, ...] = STOCK.columns
    if row.cells.get("offcut") or not row.complete:
        return
    same = tuple(row.cells.get(column.attribute) for column in keys if column.attribute not in {"on_hand", "price"})
    if same in seen:
        expected = f"one line for each way to buy (row {seen[same]} is the same)"
        trouble.add(STOCK.sheet, _cell(STOCK, "item", row), expected, row.cells.get("item"))
    seen.setdefault(same, row.number)
