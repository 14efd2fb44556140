"""What was ordered and cut for one instrument, and what another set of parts needs and gives back beside it."""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from railwright.book.model import ShopBook
from railwright.computing.results import CarrierCut, InstrumentResult, Part, SectionResult
from railwright.ledger.shelf import StockKey, move, stock_id
from railwright.shop.cut_lines import piece_label
from railwright.shop.cutting.model import tenths
from railwright.shop.order import BY_LENGTH
from railwright.shop.planning import saw_setting
from railwright.shop.remnants import Rest, worth_keeping

CutKind = Literal["bar", "felt"]


@dataclass(frozen=True, slots=True)
class CutPiece:
    """One carrier or felt strip; lengths in tenths of a millimetre, the width of a carrier is 0.

    ``usable`` is what of it can be cut square again; ``keep`` says that the shop keeps a rest of that size.
    """

    item: str
    length: int
    width: int
    usable: int
    keep: bool
    saw: str


@dataclass(frozen=True, slots=True)
class Kit:
    """Small parts by item with unit and quantity, and pieces by section and kind."""

    parts: Mapping[str, tuple[str, Decimal]]
    pieces: Mapping[tuple[int, CutKind], CutPiece]

    @property
    def is_empty(self) -> bool:
        """Whether nothing is in it."""
        return not self.parts and not self.pieces


EMPTY = Kit({}, {})


@dataclass(frozen=True, slots=True)
class Difference:
    """What a kit still needs, as planning takes it, and what of the earlier one comes back."""

    parts: tuple[Part, ...]
    result: InstrumentResult
    back_parts: tuple[tuple[str, str, int], ...]
    back_pieces: tuple[tuple[int, CutPiece], ...]

    @property
    def all_parts(self) -> tuple[Part, ...]:
        """All that is to be had for it, bars and felt in mm of finished pieces."""
        lengths = Counter[str]()
        for section in self.result.sections:
            for cut in (section.carrier, section.felt):
                if cut is not None:
                    lengths[cut.item] += tenths(round(cut.length_mm, 3))
        return (*(Part(item, length / 10, "mm") for item, length in sorted(lengths.items())), *self.parts)

    @property
    def needs_something(self) -> bool:
        """Whether anything is to be ordered or cut."""
        return bool(self.parts or self.result.sections)


def kit_of(result: InstrumentResult, parts: tuple[Part, ...], book: ShopBook) -> Kit:
    """List what an instrument's kit is made of.

    Args:
        result: how its segments are sized.
        parts: its part list; bars and felt in it are for information, they come from the pieces.
        book: what is worth keeping.

    Returns:
        The kit.
    """
    pieces: dict[tuple[int, CutKind], CutPiece] = {}
    for section in result.sections:
        if section.carrier:
            pieces[section.section, "bar"] = _carrier(section.carrier, book)
        if section.felt:
            felt = section.felt
            length, width = tenths(round(felt.length_mm, 3)), tenths(round(felt.width_mm, 3))
            keep = worth_keeping(Rest(felt.item, length, width), "felt", book)
            pieces[section.section, "felt"] = CutPiece(felt.item, length, width, length, keep, "")
    cut = {piece.item for piece in pieces.values()}
    small = {part.item: (part.unit, Decimal(str(part.quantity))) for part in parts if part.item not in cut}
    return Kit(small, pieces)


def _carrier(carrier: CarrierCut, book: ShopBook) -> CutPiece:
    """Give a carrier as a piece: between its mitres lies the edge less as much as the long point is longer."""
    length, edge = tenths(round(carrier.length_mm, 3)), tenths(round(carrier.edge_mm, 3))
    usable = max(2 * edge - length, 0)
    keep = worth_keeping(Rest(carrier.item, usable), "bar", book)
    return CutPiece(carrier.item, length, 0, usable, keep, saw_setting(carrier))


def difference(new: Kit, old: Kit, result: InstrumentResult) -> Difference:
    """Work out what a kit needs beside an earlier one.

    What is cut from a length, such as cable, cannot be joined: a longer piece is needed whole, and the shorter one is
    no use to anybody. A piece counts as there when it is cut from the same material to the same length and angle.

    Args:
        new: what is needed.
        old: what was ordered and cut before; it may be empty.
        result: how the segments of the new kit are sized.

    Returns:
        What planning must add, and what goes back to the shelf.
    """
    same = {place for place, piece in new.pieces.items() if _alike(piece, old.pieces.get(place))}
    sections = tuple(short for section in result.sections if (short := _without(section, same)) is not None)
    return Difference(
        tuple(_needed(new, old)),
        replace(result, sections=sections),
        tuple(_back(new, old)),
        tuple((place[0], piece) for place, piece in sorted(old.pieces.items()) if place not in same and piece.keep),
    )


def _alike(piece: CutPiece, other: CutPiece | None) -> bool:
    return other is not None and (piece.item, piece.length, piece.width, piece.saw) == (
        other.item, other.length, other.width, other.saw
    )  # fmt: skip


def _without(section: SectionResult, same: set[tuple[int, CutKind]]) -> SectionResult | None:
    """Leave out of a section what is cut already; ``None`` where nothing is to be cut."""
    carrier = None if (section.section, "bar") in same else section.carrier
    felt = None if (section.section, "felt") in same else section.felt
    return replace(section, carrier=carrier, felt=felt) if carrier or felt else None


def _needed(new: Kit, old: Kit) -> Iterator[Part]:
    for item, (unit, quantity) in new.parts.items():
        had = old.parts.get(item, (unit, Decimal(0)))[1]
        more = (quantity if quantity > had else Decimal(0)) if unit == BY_LENGTH else quantity - had
        if more > 0:
            yield Part(item, float(more), unit)


def _back(new: Kit, old: Kit) -> Iterator[tuple[str, str, int]]:
    for item, (unit, had) in old.parts.items():
        less = had - new.parts.get(item, (unit, Decimal(0)))[1]
        if unit != BY_LENGTH and int(less) > 0:
            yield item, unit, int(less)


def keep_kit(
    connection: sqlite3.Connection,
    entry_id: int,
    instrument_id: int,
    survey_id: int,
    order_no: str,
    needed_by: str | None,
    kit: Kit,
    complete: bool,
) -> int:
    """Record the kit of an instrument; it takes the place of an earlier one.

    Args:
        connection: the ledger, in a transaction.
        entry_id: the run.
        instrument_id: whose it is.
        survey_id: the readings that it is sized by.
        order_no: the order's number as it stands on the pieces.
        needed_by: the day, in ISO's way.
        kit: what could be had.
        complete: whether that is everything.

    Returns:
        Its number.
    """
    cursor = connection.execute(
        "INSERT INTO kit (instrument_id, survey_id, entry_id, order_no, needed_by, complete) VALUES (?, ?, ?, ?, ?, ?)",
        (instrument_id, survey_id, entry_id, order_no, needed_by, int(complete)),
    )
    number = int(cursor.lastrowid or 0)
    connection.executemany(
        "INSERT INTO kit_part VALUES (?, ?, ?, ?)",
        ((number, item, unit, f"{quantity.normalize():f}") for item, (unit, quantity) in kit.parts.items()),
    )
    connection.executemany(
        "INSERT INTO kit_piece VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            (number, section, kind, one.item, one.length, one.width, one.usable, int(one.keep), one.saw)
            for (section, kind), one in kit.pieces.items()
        ),
    )
    return number


def kept_kit(connection: sqlite3.Connection, instrument_id: int) -> tuple[int, Kit] | None:
    """Look up the kit that counts for an instrument; ``None`` where none was ordered, or it was cancelled."""
    row = connection.execute("SELECT id FROM current_kit WHERE instrument_id = ?", (instrument_id,)).fetchone()
    return None if row is None else (row["id"], _kit(connection, row["id"]))


def _kit(connection: sqlite3.Connection, kit_id: int) -> Kit:
    parts = connection.execute("SELECT item, unit, quantity FROM kit_part WHERE kit_id = ?", (kit_id,))
    pieces = connection.execute("SELECT * FROM kit_piece WHERE kit_id = ?", (kit_id,))
    return Kit(
        {row["item"]: (row["unit"], Decimal(row["quantity"])) for row in parts},
        {
            (row["section"], row["kind"]): CutPiece(
                row["item"], row["length"], row["width"], row["usable"], bool(row["worth_keeping"]), row["saw"]
            )
            for row in pieces
        },
    )


def give_back(connection: sqlite3.Connection, entry_id: int, kit_id: int, back: Difference) -> list[str]:
    """Put what is over of a kit back on the shelf: small parts by the count, pieces as offcuts under their labels.

    Args:
        connection: the ledger, in a transaction.
        entry_id: what gives it back.
        kit_id: the kit that it comes from.
        back: what is over.

    Returns:
        What went back, in words: one a kind of thing.
    """
    kit = connection.execute("SELECT instrument_id, order_no FROM kit WHERE id = ?", (kit_id,)).fetchone()
    told: list[str] = []
    for item, unit, amount in back.back_parts:
        given = _give_parts(connection, entry_id, kit_id, kit["instrument_id"], item, amount)
        told += [f"{given} {item}" if unit == "pieces" else f"{given} {unit} of {item}"] if given else []
    for section, piece in back.back_pieces:
        unit = "sheet" if piece.width else "bar"
        rack = f"piece {piece_label(kit['order_no'], section)}"
        key = StockKey(piece.item, piece.usable, piece.width, unit, True, rack)
        move(connection, entry_id, stock_id(connection, entry_id, key), "returned", 1, kit=kit_id)
        told.append(key.words)
    return told


def _give_parts(
    connection: sqlite3.Connection, entry_id: int, kit_id: int, instrument_id: int, item: str, amount: int
) -> int:
    """Give parts back to where the orders of the instrument took them from, never more than those took."""
    rows = connection.execute(
        """
        SELECT m.stock_id, m.order_line_id, -sum(m.change) AS taken FROM movement m
        JOIN order_line l ON l.id = m.order_line_id
        JOIN order_member o ON o.order_line_id = l.id AND o.item = ?
        JOIN stock s ON s.id = m.stock_id
        WHERE l.entry_id IN (SELECT entry_id FROM kit WHERE instrument_id = ?) AND m.kind IN ('used', 'returned')
        GROUP BY m.stock_id, m.order_line_id ORDER BY s.item <> ?, m.order_line_id DESC, m.stock_id
        """,
        (item, instrument_id, item),
    ).fetchall()
    left = amount
    for row in rows:
        given = max(min(left, row["taken"]), 0)
        move(connection, entry_id, row["stock_id"], "returned", given, line=row["order_line_id"], kit=kit_id)
        left -= given
    return amount - left
