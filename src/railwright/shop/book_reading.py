"""Reading the shop's own workbook into a shop book, strictly: all problems are told at once."""

from __future__ import annotations

import zipfile
from decimal import Decimal
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.utils import get_column_letter
from openpyxl.workbook import Workbook

from railwright.book.default_catalogue import DEFAULT_NAME
from railwright.book.model import Carrier, Felt, Hardware, ShopBook, StockLine
from railwright.book.parameters import Parameter, default_rules, parameter_by_key
from railwright.computing.screws import head_diameter, known_screws
from railwright.shop.book_agreement import check_catalogue, check_stock
from railwright.shop.book_cells import CellProblem, number, text
from railwright.shop.book_columns import (
    CARRIERS,
    FELTS,
    HARDWARE,
    HEADING_ROW,
    NAME_KEY,
    RULES_HEADINGS,
    RULES_SHEET,
    STOCK,
    TABLES,
    Table,
)
from railwright.shop.book_limits import disordered, expected_of
from railwright.shop.book_problems import BadShopBook, BookProblem
from railwright.shop.book_tables import Grid, Row, Trouble, columns_of, grid, table_rows

#: A shop book is small; a file that unpacks to more than this is something else.
_MAX_UNPACKED = 24 * 1024 * 1024
_MAX_MEMBERS = 1000


def read_shop_book(path: Path) -> tuple[ShopBook, tuple[str, ...]]:
    """Read and check a shop book.

    Args:
        path: a workbook as ``write_shop_book`` writes it, edited by the shop.

    Returns:
        The shop book, named after its file unless it carries a name of its own, and notes that stop nothing: rules that
        took their declared value because the sheet lacks them, columns and sheets that nothing reads, items without a
        stock line.

    Raises:
        BadShopBook: with every problem found, each with sheet, cell, what was expected and what was found.
    """
    workbook, formulas = _open(path)
    trouble = Trouble()
    known = [RULES_SHEET, *(table.sheet for table in TABLES)]
    if not set(known) & set(workbook.sheetnames):
        raise _unusable(path, f"no shop book: it has no sheet {', '.join(known[:-1])} or {known[-1]}")
    trouble.notes += [f"The sheet {name} is not used." for name in workbook.sheetnames if name not in known]
    name, rules = _rules(grid(workbook, formulas, RULES_SHEET, trouble), trouble)
    tables = {table.sheet: _lines(workbook, formulas, table, trouble) for table in TABLES}
    check_catalogue(tables, trouble)
    check_stock(tables, trouble)
    if trouble.problems:
        raise BadShopBook(path.name, trouble.problems)
    return _book(name or path.stem, rules, tables), tuple(trouble.notes)


def _open(path: Path) -> tuple[Workbook, Workbook]:
    """Load the workbook twice, with results and with formulas, after a look at its size."""
    try:
        with zipfile.ZipFile(path) as archive:
            members = archive.infolist()
        if len(members) > _MAX_MEMBERS or sum(member.file_size for member in members) > _MAX_UNPACKED:
            raise _unusable(path, "a file far larger than any shop book")
        return load_workbook(path, data_only=True), load_workbook(path)
    except OSError as error:
        raise _unusable(path, f"a file that cannot be opened ({error.strerror or error})") from error
    except zipfile.BadZipFile as error:
        raise _unusable(path, "a file that is no workbook, or a damaged or password-protected one") from error
    except BadShopBook:
        raise
    except Exception as error:  # a damaged workbook can fail anywhere inside the loading library
        raise _unusable(path, f"a workbook that cannot be read ({type(error).__name__})") from error


def _unusable(path: Path, found: str) -> BadShopBook:
    problem = BookProblem("file", "", "a shop book saved as .xlsx (railwright shop-book -o FILE writes one)", found)
    return BadShopBook(path.name, [problem])


def _lines(workbook: Workbook, formulas: Workbook, table: Table, trouble: Trouble) -> list[Row]:
    rows = grid(workbook, formulas, table.sheet, trouble)
    return [] if rows is None else list(table_rows(table, rows, trouble))


def _rules(rows: Grid | None, trouble: Trouble) -> tuple[str | None, dict[str, float | str]]:
    """Read the Rules sheet; a declared key that it lacks takes its declared value and is noted."""
    rules: dict[str, float | str] = {}
    places = None if rows is None else columns_of(RULES_SHEET, RULES_HEADINGS, rows, trouble)
    if rows is None or places is None:
        return None, rules
    seen: dict[str, int] = {}
    name = None
    for row, cells in enumerate(rows[HEADING_ROW:], start=HEADING_ROW + 1):
        key = text_of(cells[places["Key"]])
        if not key:
            _no_key(cells, places, row, trouble)
        elif key in seen:
            trouble.add(RULES_SHEET, _at(places, "Key", row), f"every key once ({key} is also in row {seen[key]})", key)
        elif key == NAME_KEY:
            name = _own_name(text_of(cells[places["Value"]]))
        else:
            _rule(key, cells, places, row, rules, trouble)
        seen.setdefault(key, row)
    _complete(rules, seen, trouble)
    for low, high in disordered(rules):
        cell = _at(places, "Value", seen.get(low, HEADING_ROW))
        trouble.tell(RULES_SHEET, cell, f"{low} below {high} ({rules[high]:g})", f"{rules[low]:g}")
    return name, rules


def text_of(content: object) -> str:
    """Read a key, a name or a unit; anything that is no text counts as the text it shows."""
    return "" if content is None else " ".join(str(content).split())


def _own_name(written: str) -> str | None:
    """Give the name that a book carries; the default book's, from which others are made, is no name of their own."""
    return written if written and written.casefold() != DEFAULT_NAME else None


def _no_key(cells: tuple[object, ...], places: dict[str, int], row: int, trouble: Trouble) -> None:
    if cells[places["Value"]] is not None:
        trouble.add(RULES_SHEET, _at(places, "Key", row), "the key that this value belongs to", None)


def _rule(
    key: str,
    cells: tuple[object, ...],
    places: dict[str, int],
    row: int,
    rules: dict[str, float | str],
    trouble: Trouble,
) -> None:
    """Read one rule line: a known key, its own unit, and a value that makes sense."""
    parameter = parameter_by_key().get(key)
    if parameter is None:
        trouble.add(RULES_SHEET, _at(places, "Key", row), "a key of the rules (railwright shop-book lists them)", key)
        return
    unit = text_of(cells[places["Unit"]])
    if unit != parameter.unit:
        trouble.add(RULES_SHEET, _at(places, "Unit", row), f'the unit "{parameter.unit}" of {key}', unit or None)
    content = cells[places["Value"]]
    try:
        rules[key] = _rule_value(parameter, content)
    except CellProblem as problem:
        trouble.add(RULES_SHEET, _at(places, "Value", row), f"{problem} for {key}", content)


def _rule_value(parameter: Parameter, content: object) -> float | str:
    if isinstance(parameter.default, str):
        words = text(content)
        if not words and parameter.default:  # a text whose declared value is empty may stay empty
            raise CellProblem("text")
        return _known_screw(words) if parameter.key == "guide_screw" else words
    value = float(number(content))
    expected = expected_of(parameter.key, parameter.unit, value)
    if expected:
        raise CellProblem(expected)
    return value


def _known_screw(words: str) -> str:
    """Pass a screw on whose head size is known."""
    try:
        head_diameter(words)
    except ValueError:
        raise CellProblem(f"one of: {', '.join(known_screws())};") from None
    return words


def _complete(rules: dict[str, float | str], seen: dict[str, int], trouble: Trouble) -> None:
    """Fill keys that the sheet lacks with their declared values, and keep the declared order."""
    given = dict(rules)
    rules.clear()
    for key, default in default_rules().items():
        if key in given:
            rules[key] = given[key]
        elif key not in seen:
            rules[key] = default
            unit = parameter_by_key()[key].unit
            trouble.notes.append(
                f"Rules: {key} is not in the sheet; its usual value {default} {unit}".rstrip() + " is used."
            )


def _at(places: dict[str, int], heading: str, row: int) -> str:
    return f"{get_column_letter(places[heading] + 1)}{row}"


def _book(name: str, rules: dict[str, float | str], tables: dict[str, list[Row]]) -> ShopBook:
    return ShopBook(
        name,
        rules,
        tuple(Carrier(**_floats(row)) for row in tables[CARRIERS.sheet]),
        tuple(Felt(**_floats(row)) for row in tables[FELTS.sheet]),
        tuple(Hardware(**_floats(row)) for row in tables[HARDWARE.sheet]),
        tuple(_stock_line(row) for row in tables[STOCK.sheet]),
    )


def _floats(row: Row) -> dict[str, Any]:
    """Give a catalogue line's cells with its numbers as the physics wants them."""
    return {key: float(value) if isinstance(value, Decimal) else value for key, value in row.cells.items()}


def _stock_line(row: Row) -> StockLine:
    cells: dict[str, Any] = dict(row.cells)
    for column in STOCK.columns:
        if column.kind.startswith("whole") and cells[column.attribute] is not None:
            cells[column.attribute] = int(cells[column.attribute])
    return StockLine(**cells, row=row.number)
