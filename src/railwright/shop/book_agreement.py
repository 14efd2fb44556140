"""What the lines of a shop book must agree on: unique items, known items, shapes that exist, units that fit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import get_args

from openpyxl.utils import get_column_letter

from railwright.book.model import HardwareKind
from railwright.shop.book_columns import CARRIERS, FELTS, HARDWARE, STOCK, Column, Table
from railwright.shop.book_tables import Row, Trouble

#: Columns that say how much there is and what it costs; lines that differ in them alone are the same way to buy.
_NOT_WHAT_IT_IS = frozenset({"on_hand", "price", "least_packs", "break_packs", "break_price", "same_as"})

Tables = Mapping[str, Sequence[Row]]


def _cell(table: Table, attribute: str, row: Row) -> str:
    """Give a cell's address as a new shop book has it."""
    position = next(n for n, column in enumerate(table.columns) if column.attribute == attribute)
    return f"{get_column_letter(position + 1)}{row.number}"


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
        _check_break(row, trouble)
        _check_twice(row, seen, trouble)
    check_alike(tables, trouble)
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
    if not row.cells.get("offcut"):
        return
    words = {"price": "no price", "least_packs": "no least packs", "break_packs": "no break", "break_price": "no break"}
    for attribute, expected in words.items():
        if row.cells.get(attribute) is not None:
            trouble.add(STOCK.sheet, _cell(STOCK, attribute, row), f"{expected} for an offcut", row.cells[attribute])


def _check_break(row: Row, trouble: Trouble) -> None:
    """Report a price break that is half written or no bargain."""
    price, least = _number(row, "price"), _number(row, "least_packs") or Decimal(1)
    packs, lower = _number(row, "break_packs"), _number(row, "break_price")
    if row.cells.get("offcut") or not row.complete or (packs is None and lower is None):
        return
    if packs is None:
        trouble.add(STOCK.sheet, _cell(STOCK, "break_packs", row), "the packs from which the break price holds", None)
    elif lower is None:
        trouble.add(STOCK.sheet, _cell(STOCK, "break_price", row), f"the price of a pack from {packs} packs on", None)
    elif price is None:
        trouble.add(STOCK.sheet, _cell(STOCK, "price", row), "the price of a pack below the break", None)
    elif lower >= price:
        trouble.add(STOCK.sheet, _cell(STOCK, "break_price", row), f"a price below {price}", lower)
    elif packs <= least:
        trouble.add(STOCK.sheet, _cell(STOCK, "break_packs", row), f"more packs than the least, {least}", packs)


def check_alike(tables: Tables, trouble: Trouble) -> None:
    """Report items that are said to serve alike and cannot, and items said to be like two different things."""
    kinds = {row.cells.get("item"): (row.cells.get("kind"), row.cells.get("size_mm")) for row in tables[HARDWARE.sheet]}
    of_words: dict[str, tuple[object, object]] = {}  # the first item that bears the words, and what it is
    of_item: dict[object, str] = {}
    for row in tables[STOCK.sheet]:
        item, words, unit = row.cells.get("item"), row.cells.get("same_as"), row.cells.get("unit")
        if not isinstance(words, str) or not words:
            continue
        cell = _cell(STOCK, "same_as", row)
        if item not in kinds:
            trouble.add(STOCK.sheet, cell, "nothing for bars and sheets; each is cut from its own stock", words)
        elif of_item.setdefault(item, words) != words:
            trouble.add(STOCK.sheet, cell, f'the same words on every line of {item} ("{of_item[item]}")', words)
        elif of_words.setdefault(words, (item, (*kinds[item], unit)))[1] != (*kinds[item], unit):
            expected = f"items of one kind, size and unit ({of_words[words][0]} bears these words too)"
            trouble.add(STOCK.sheet, cell, expected, words)


def _check_twice(row: Row, seen: dict[tuple[object, ...], int], trouble: Trouble) -> None:
    """Report a line to buy that repeats another: what is on hand would count twice."""
    keys: tuple[Column, ...] = STOCK.columns
    if row.cells.get("offcut") or not row.complete:
        return
    same = tuple(row.cells.get(column.attribute) for column in keys if column.attribute not in _NOT_WHAT_IT_IS)
    if same in seen:
        expected = f"one line for each way to buy (row {seen[same]} is the same)"
        trouble.add(STOCK.sheet, _cell(STOCK, "item", row), expected, row.cells.get("item"))
    seen.setdefault(same, row.number)
