"""The shelf as the ledger knows it, and the one rule by which it and the shop book's Stock sheet go together.

The figure of a stock line starts from the shop book when the line is first seen, and is the ledger's from then on. The
shop book's figure counts again only when somebody has changed it since: then it is a stock-take, replaces the ledger's,
and is told. A figure that the ledger itself foretold in ``stock-after.xlsx`` and that comes back in the shop book is no
stock-take.

A figure says what is free: what lies in a cutting list or an order of an earlier week is used. Below zero it says how
much of what is on the way is promised already.
"""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from railwright.book.model import ShopBook, StockLine
from railwright.shop.cutting.model import tenths

Kind = Literal["counted", "delivered", "used", "kept", "returned"]


@dataclass(frozen=True, slots=True)
class StockKey:
    """One kind of thing on the shelf; lengths in tenths of a millimetre, 0 where none applies.

    Lines of one item and size that differ in pack, price or supplier are one kind: what lies on the shelf is the same.
    """

    item: str
    length: int
    width: int
    unit: str
    offcut: bool
    rack: str

    @property
    def words(self) -> str:
        """Name it for a sentence, such as ``RC-S08, offcut 486.5 mm (B2)``."""
        sizes = " x ".join(f"{size / 10:g}" for size in (self.length, self.width) if size)
        kind = "offcut" if self.offcut else self.unit
        size = f", {kind} {sizes} mm" if sizes else ""
        return f"{self.item}{size}{f' ({self.rack})' if self.rack else ''}"


@dataclass(frozen=True, slots=True)
class Figure:
    """What there is of one kind: ``net`` on the shelf (below 0: promised from what is to come), ``on_way`` to come."""

    net: int = 0
    on_way: int = 0

    @property
    def free(self) -> int:
        """How much a new week may use."""
        return max(self.net + self.on_way, 0)

    @property
    def free_on_way(self) -> int:
        """How much of that has not come yet."""
        return self.free - max(self.net, 0)


def key_of(line: StockLine) -> StockKey:
    """Give the kind of thing that a stock line has on hand; only offcuts are told apart by their rack."""
    rack = line.rack if line.offcut else ""
    return StockKey(line.item, tenths(line.length_mm), tenths(line.width_mm), line.unit, line.offcut, rack)


def stock_id(connection: sqlite3.Connection, entry_id: int, key: StockKey) -> int:
    """Look a kind of thing up, and add it where it is new."""
    values = (key.item, key.length, key.width, key.unit, int(key.offcut), key.rack)
    found = connection.execute(
        "SELECT id FROM stock WHERE item = ? AND length = ? AND width = ? AND unit = ? AND offcut = ? AND rack = ?",
        values,
    ).fetchone()
    if found is not None:
        return int(found["id"])
    statement = "INSERT INTO stock (entry_id, item, length, width, unit, offcut, rack) VALUES (?, ?, ?, ?, ?, ?, ?)"
    return int(connection.execute(statement, (entry_id, *values)).lastrowid or 0)


def figure_of(connection: sqlite3.Connection, number: int) -> Figure:
    """Look up what there is of one kind of thing."""
    way = connection.execute(
        "SELECT coalesce(sum(buy - delivered - cancelled), 0) FROM order_line "
        "WHERE stock_id = ? AND buy > delivered + cancelled",
        (number,),
    ).fetchone()[0]
    return Figure(_net(connection, number) or 0, way)


def _net(connection: sqlite3.Connection, number: int) -> int | None:
    row = connection.execute(
        "SELECT after FROM movement WHERE stock_id = ? ORDER BY id DESC LIMIT 1", (number,)
    ).fetchone()
    return None if row is None else int(row["after"])


def move(
    connection: sqlite3.Connection,
    entry_id: int,
    number: int,
    kind: Kind,
    change: int,
    *,
    line: int | None = None,
    kit: int | None = None,
) -> None:
    """Record that a figure changes; a change of nothing leaves no row.

    Args:
        connection: the ledger, in a transaction.
        entry_id: what brings the change.
        number: the kind of thing, by its number in the ledger.
        kind: why it changes.
        change: by how much, below 0 for what is used.
        line: the order line that it belongs to.
        kit: the instrument's parts that it belongs to.
    """
    if change:
        before = _net(connection, number) or 0
        connection.execute(
            "INSERT INTO movement (entry_id, stock_id, kind, change, before, after, order_line_id, kit_id) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            (entry_id, number, kind, change, before, before + change, line, kit),
        )


def take_stock(connection: sqlite3.Connection, entry_id: int, book: ShopBook) -> list[str]:
    """Compare the shop book's Stock sheet with the one that was seen last, and follow what was changed in it.

    Args:
        connection: the ledger, in a transaction.
        entry_id: the run.
        book: the shop book as it was read.

    Returns:
        A sentence about each stock-take.
    """
    counted = _counted(book)
    notes = [_seen(connection, entry_id, key, on_hand) for key, on_hand in counted.items()]
    gone = [key for key in _keys_in_last_book(connection) if key not in counted]
    notes += [_seen(connection, entry_id, key, None) for key in gone]
    return [note for note in notes if note]


def _counted(book: ShopBook) -> Counter[StockKey]:
    figures = Counter[StockKey]()
    for line in book.stock:
        figures[key_of(line)] += line.on_hand
    return figures


def _keys_in_last_book(connection: sqlite3.Connection) -> list[StockKey]:
    """List what the last shop book had a line for."""
    rows = connection.execute(
        """
        SELECT s.* FROM stock s JOIN book_figure f ON f.stock_id = s.id AND f.on_hand IS NOT NULL
        WHERE f.entry_id = (SELECT max(later.entry_id) FROM book_figure later WHERE later.stock_id = s.id)
        ORDER BY s.id
        """
    )
    return [_key(row) for row in rows]


def _key(row: sqlite3.Row) -> StockKey:
    return StockKey(row["item"], row["length"], row["width"], row["unit"], bool(row["offcut"]), row["rack"])


def _seen(connection: sqlite3.Connection, entry_id: int, key: StockKey, on_hand: int | None) -> str:
    """Follow one figure of the shop book; ``None`` where its line is gone. Empty where nothing is to be told."""
    number = stock_id(connection, entry_id, key)
    last, net = _last_figure(connection, number), _net(connection, number)
    _keep_figure(connection, entry_id, number, on_hand, None if last is None else last["foretold"])
    if last is None and net is None:
        move(connection, entry_id, number, "counted", on_hand or 0)
        return ""
    known = None if last is None else last["on_hand"]
    foretold = None if last is None else last["foretold"]
    if on_hand == known or (on_hand or 0) == foretold:
        return ""
    had = net or 0
    change = (on_hand or 0) + min(had, 0) - had
    move(connection, entry_id, number, "counted", change)
    if not change:
        return ""
    why = (
        "its line is gone from the shop book" if on_hand is None else f"the shop book's figure was changed to {on_hand}"
    )
    return f"{key.words}: {why}, so that is a stock-take; the ledger had {max(had, 0)} on the shelf."


def _last_figure(connection: sqlite3.Connection, number: int) -> sqlite3.Row | None:
    row: sqlite3.Row | None = connection.execute(
        "SELECT * FROM book_figure WHERE stock_id = ? ORDER BY entry_id DESC LIMIT 1", (number,)
    ).fetchone()
    return row


def _keep_figure(
    connection: sqlite3.Connection, entry_id: int, number: int, on_hand: int | None, foretold: int | None
) -> None:
    """Record what the shop book says and what was foretold, where either is news."""
    last = _last_figure(connection, number)
    if last is None or (last["on_hand"], last["foretold"]) != (on_hand, foretold):
        connection.execute(
            "INSERT OR REPLACE INTO book_figure VALUES (?, ?, ?, ?)", (number, entry_id, on_hand, foretold)
        )


def foretell(connection: sqlite3.Connection, entry_id: int) -> None:
    """Record what the shelf will be when all has come, as ``stock-after.xlsx`` of this run says."""
    for row in connection.execute("SELECT stock_id, on_hand - promised + on_way AS free FROM shelf").fetchall():
        last = _last_figure(connection, row["stock_id"])
        _keep_figure(connection, entry_id, row["stock_id"], None if last is None else last["on_hand"], row["free"])


def figures(connection: sqlite3.Connection) -> dict[StockKey, Figure]:
    """Look up everything of which there is something, on the shelf, promised or on the way."""
    rows = connection.execute("SELECT * FROM shelf WHERE on_hand <> 0 OR promised <> 0 OR on_way <> 0")
    return {_key(row): Figure(row["on_hand"] - row["promised"], row["on_way"]) for row in rows}


def book_of_ledger(book: ShopBook, there: Mapping[StockKey, Figure]) -> ShopBook:
    """Give the shop book with what a new week may use on its Stock sheet.

    Args:
        book: the shop book as it was read.
        there: what the ledger knows of.

    Returns:
        The same book: figures are what is free and what is on the way, offcuts of earlier plans are there, those that
        are used up are gone.
    """
    return replace(book, stock=(*_lines_of_book(book, there), *_more_offcuts(book, there)))


def _lines_of_book(book: ShopBook, there: Mapping[StockKey, Figure]) -> Iterator[StockLine]:
    """Share each figure out to its lines: first as the book has it, what is more to the first of them."""
    wanted = _counted(book)
    left = {key: there.get(key, Figure()).free for key in wanted}
    more = {key: max(left[key] - wanted[key], 0) for key in wanted}
    for line in book.stock:
        key = key_of(line)
        share = min(line.on_hand + more.pop(key, 0), left[key])
        left[key] -= share
        if share or not line.offcut:
            yield replace(line, on_hand=share)


def _more_offcuts(book: ShopBook, there: Mapping[StockKey, Figure]) -> Iterator[StockLine]:
    known = {key_of(line) for line in book.stock}
    for key, figure in sorted(there.items(), key=lambda each: (each[0].item, each[0].rack, each[0].length)):
        if key.offcut and key not in known and figure.free:
            length, width = Decimal(key.length) / 10, Decimal(key.width) / 10
            yield StockLine(key.item, length, width, key.unit, 1, None, figure.free, offcut=True, rack=key.rack)
