"""What one run orders and cuts: order lines, bars and pieces, kits, and what that does to the shelf."""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from railwright.book.model import ShopBook
from railwright.computing.results import InstrumentResult, Part
from railwright.ledger.kits import EMPTY, Difference, Kit, difference, give_back, keep_kit, kept_kit, kit_of
from railwright.ledger.shelf import Figure, StockKey, figures, key_of, move, stock_id
from railwright.shop.cut_lines import StockUse, order_of, piece_label, stock_uses
from railwright.shop.cutting.felt_model import FeltPlan
from railwright.shop.cutting.model import Plan
from railwright.shop.order import BY_LENGTH, places_of
from railwright.shop.order_model import CuttingSheet, OrderLine
from railwright.shop.remnants import Rest, rack_labels, rests, worth_keeping
from railwright.shop.stock_after import stock_after


@dataclass(frozen=True, slots=True)
class Wish:
    """An instrument that is to be made: what planning needs of it, and its place in the ledger."""

    instrument_id: int
    survey_id: int
    order_no: str
    needed_by: str | None
    result: InstrumentResult
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Planned:
    """An instrument that is planned: its kit, the one before, and what is to be ordered and cut beside that."""

    wish: Wish
    kit: Kit
    earlier: Kit
    more: Difference


def prepared(
    connection: sqlite3.Connection, entry_id: int, wishes: Sequence[Wish], book: ShopBook
) -> tuple[list[Planned], list[str]]:
    """Work out what each instrument needs beside what it has, and put back on the shelf what is over.

    Args:
        connection: the ledger, in a transaction.
        entry_id: the run.
        wishes: the instruments to be made.
        book: the shop book as it was read.

    Returns:
        The instruments, and sentences about what went back.
    """
    planned, notes = [], []
    for wish in wishes:
        kit = kit_of(wish.result, wish.parts, book)
        kept = kept_kit(connection, wish.instrument_id)
        earlier = kept[1] if kept else EMPTY
        more = difference(kit, earlier, wish.result)
        if kept and (back := give_back(connection, entry_id, kept[0], more)):
            notes.append(f"{wish.order_no}: its readings changed; back on the shelf are {', '.join(back)}.")
        planned.append(Planned(wish, kit, earlier, more))
    return planned, notes


def keep_plan(
    connection: sqlite3.Connection,
    entry_id: int,
    planned: Sequence[Planned],
    cutting: Sequence[CuttingSheet],
    order: Sequence[OrderLine],
    book: ShopBook,
) -> None:
    """Record the plans of a run.

    Args:
        connection: the ledger, in a transaction.
        entry_id: the run.
        planned: the instruments that the plans are for.
        cutting: the cutting plans.
        order: the order.
        book: the shop book with the ledger's figures, from which both were planned.
    """
    there = figures(connection)
    lines = [_keep_line(connection, entry_id, line, book, there) for line in order]
    _keep_uses(connection, entry_id, cutting, order, lines, book)
    _keep_bars(connection, entry_id, cutting, book)
    short = _short_parts(planned, order)
    unplaced = {(sheet.item, piece.label) for sheet in cutting for piece in sheet.plan.unplaced}
    for number, each in enumerate(planned):
        _keep_kit(connection, entry_id, each, short[number], unplaced)


def on_way_notes(order: Sequence[OrderLine], book: ShopBook, there: dict[StockKey, Figure]) -> Iterator[str]:
    """Say in a sentence what is used that has not come yet; nothing where all is there."""
    waiting = []
    for line in order:
        way = _free_on_way(line, book, there)
        amount = min(line.used - (line.on_hand - way), Decimal(way))
        if way and amount > 0:
            waiting.append(
                f"{amount:f} {line.item}" if line.unit == "pieces" else f"{amount:f} {line.unit} of {line.item}"
            )
    if waiting:
        yield f"Counted as on hand and used, but still on the way from earlier orders: {', '.join(waiting)}."


def _keys(line: OrderLine, book: ShopBook) -> list[StockKey]:
    return list(dict.fromkeys(key_of(book.stock[place]) for place in places_of(line.members, line.size, book)))


def _free_on_way(line: OrderLine, book: ShopBook, there: dict[StockKey, Figure]) -> int:
    return sum(there.get(key, Figure()).free_on_way for key in _keys(line, book))


def _keep_line(
    connection: sqlite3.Connection,
    entry_id: int,
    line: OrderLine,
    book: ShopBook,
    there: dict[StockKey, Figure],
) -> int:
    sold = None if line.seller is None else stock_id(connection, entry_id, key_of(line.seller))
    values = {
        "entry_id": entry_id,
        "stock_id": sold,
        "item": line.item,
        "buy_item": line.buy_item,
        "name": line.name,
        "unit": line.unit,
        "need": f"{line.need:f}",
        "on_hand": int(line.on_hand),
        "on_way": _free_on_way(line, book, there),
        "buy": int(line.buy),
        "pack": line.pack,
        "packs": line.packs,
        "cost": None if line.cost is None else f"{line.cost:f}",
        "supplier": line.supplier,
        "needed_by": line.needed_by.isoformat() if line.needed_by else None,
    }
    marks = ", ".join("?" for _ in values)
    cursor = connection.execute(
        f"INSERT INTO order_line ({', '.join(values)}) VALUES ({marks})", tuple(values.values())
    )
    number = int(cursor.lastrowid or 0)
    days = {order: day.day for day in reversed(line.by_day) for order in day.orders}
    connection.executemany(
        "INSERT INTO order_need VALUES (?, ?, ?)",
        ((number, order, day.isoformat() if (day := days.get(order)) else None) for order in line.orders),
    )
    connection.executemany("INSERT INTO order_member VALUES (?, ?)", ((number, item) for item in line.members))
    return number


def _keep_uses(
    connection: sqlite3.Connection,
    entry_id: int,
    cutting: Sequence[CuttingSheet],
    order: Sequence[OrderLine],
    lines: Sequence[int],
    book: ShopBook,
) -> None:
    """Take from the shelf what the plans use, line by line, and put the rests that are kept on it."""
    line_of = {
        (key.item, key.length, key.width): number
        for line, number in zip(order, lines, strict=True)
        for key in _keys(line, book)
    }
    after = stock_after(book, cutting, order)
    used = Counter[StockKey]()
    for movement in after.movements:
        used[key_of(movement.line)] += movement.used
    for key, amount in used.items():
        line = None if key.offcut else line_of.get((key.item, key.length, key.width))
        move(connection, entry_id, stock_id(connection, entry_id, key), "used", -amount, line=line)
    for offcut in after.new_offcuts:
        move(connection, entry_id, stock_id(connection, entry_id, key_of(offcut)), "kept", offcut.on_hand)


def _keep_bars(connection: sqlite3.Connection, entry_id: int, cutting: Sequence[CuttingSheet], book: ShopBook) -> None:
    racks = rack_labels(cutting, book)
    for sheet in cutting:
        for use, pieces, left in _bars(sheet):
            cursor = connection.execute(
                "INSERT INTO bar (entry_id, item, kind, length, width, offcut, rack, kerf) "
                "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                (entry_id, sheet.item, sheet.kind, use.length, use.width, int(use.offcut), use.rack, _kerf(sheet)),
            )
            bar = cursor.lastrowid
            connection.executemany(
                "INSERT INTO piece VALUES (?, ?, ?, ?, ?, ?)",
                ((bar, number, label, order_of(label), *size) for number, (label, *size) in enumerate(pieces)),
            )
            connection.executemany(
                "INSERT INTO remnant VALUES (?, ?, ?, ?, ?)",
                (
                    (
                        bar,
                        number,
                        rest.length,
                        rest.width,
                        racks[rest] if worth_keeping(rest, sheet.kind, book) else None,
                    )
                    for number, rest in enumerate(left)
                ),
            )


#: A piece or a rest: label, length and width; length and width.
_Cut = tuple[StockUse, list[tuple[str, int, int]], list[Rest]]


def _bars(sheet: CuttingSheet) -> Iterator[_Cut]:
    """Go through the bars or felt sheets of a plan, each with its pieces and what is left of it."""
    plan, uses = sheet.plan, stock_uses(sheet)
    if isinstance(plan, Plan):
        for use, bar in zip(uses, plan.bars, strict=True):
            yield use, [(piece.label, piece.length, 0) for piece in bar.pieces], [Rest(sheet.item, bar.remnant)]
        return
    for use, cut in zip(uses, plan.sheets, strict=True):
        rects = [(rect.label, rect.length, rect.width) for strip in cut.strips for rect in strip.rects]
        alone = replace(sheet, plan=replace(plan, sheets=(cut,)))
        yield use, rects, list(rests(alone))


def _kerf(sheet: CuttingSheet) -> int:
    return 0 if isinstance(sheet.plan, FeltPlan) else sheet.plan.kerf


def _short_parts(planned: Sequence[Planned], order: Sequence[OrderLine]) -> list[Counter[str]]:
    """Share out to the kits what could not be had, from the last of them on; a length that is missing is whole."""
    short: list[Counter[str]] = [Counter() for _ in planned]
    for line in order:
        missing = Decimal(0) if any(line.size) else line.missing
        for each, lacks in zip(reversed(planned), reversed(short), strict=True):
            for part in each.more.parts:
                if missing > 0 and part.item in line.members:
                    wanted = Decimal(str(part.quantity))
                    lack = wanted if part.unit == BY_LENGTH else min(missing, wanted)
                    lacks[part.item] += lack  # type: ignore[assignment]
                    missing -= lack
    return short


def _keep_kit(
    connection: sqlite3.Connection,
    entry_id: int,
    each: Planned,
    short: Counter[str],
    unplaced: set[tuple[str, str]],
) -> None:
    """Record what an instrument really gets, unless that is what it had already for the same readings."""
    wish = each.wish
    parts = {item: (unit, quantity - short[item]) for item, (unit, quantity) in each.kit.parts.items()}
    pieces = {
        (section, kind): piece
        for (section, kind), piece in each.kit.pieces.items()
        if (piece.item, piece_label(wish.order_no, section)) not in unplaced
    }
    kit = Kit({item: part for item, part in parts.items() if part[1] > 0}, pieces)
    complete = not short and len(pieces) == len(each.kit.pieces)
    row = connection.execute(
        "SELECT survey_id, complete FROM current_kit WHERE instrument_id = ?", (wish.instrument_id,)
    ).fetchone()
    if row is not None and tuple(row) == (wish.survey_id, int(complete)) and kit == each.earlier:
        return
    keep_kit(connection, entry_id, wish.instrument_id, wish.survey_id, wish.order_no, wish.needed_by, kit, complete)
