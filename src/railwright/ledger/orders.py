"""What the office tells the ledger between two weeks: deliveries, what will not come, orders cancelled or taken up."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from railwright.checking.groups import plain
from railwright.computing.results import InstrumentResult
from railwright.ledger.entries import drop, enter
from railwright.ledger.identity import is_cancelled
from railwright.ledger.kits import EMPTY, difference, give_back, kept_kit
from railwright.ledger.shelf import figure_of, move


class CannotBe(Exception):
    """What was told cannot be; the message is a sentence that says why. Nothing was changed."""


@dataclass(frozen=True, slots=True)
class OpenLine:
    """An order line that has not come in full."""

    id: int
    stock_id: int
    item: str
    unit: str
    open: int


def open_lines(connection: sqlite3.Connection, run: int) -> list[OpenLine]:
    """List what is still to come of a run's order.

    Args:
        connection: the ledger.
        run: the run's number.

    Returns:
        Its open lines in the order of the order.

    Raises:
        CannotBe: there is no such run.
    """
    _known_run(connection, run)
    rows = connection.execute(
        "SELECT id, stock_id, buy_item, unit, buy - delivered - cancelled FROM order_line "
        "WHERE entry_id = ? AND buy > delivered + cancelled ORDER BY id",
        (run,),
    )
    return [OpenLine(*row) for row in rows]


def _known_run(connection: sqlite3.Connection, run: int) -> None:
    row = connection.execute("SELECT 1 FROM entry WHERE id = ? AND kind = 'week'", (run,)).fetchone()
    if row is None:
        raise CannotBe(f"the ledger has no run {run}; railwright ledger show lists them")


def delivered(connection: sqlite3.Connection, runs: Iterable[int], amounts: Mapping[str, int | None]) -> list[str]:
    """Record that something has come.

    Args:
        connection: the ledger, in a transaction.
        runs: the runs whose orders it belongs to.
        amounts: how much of which item, ``None`` for all that is open; empty for everything.

    Returns:
        A sentence about each line.

    Raises:
        CannotBe: there is no such run, nothing is open, or more has come than was ordered.
    """
    lines = _chosen(connection, runs, amounts)
    entry = enter(connection, "delivered")
    told = []
    for line, amount in lines:
        connection.execute("UPDATE order_line SET delivered = delivered + ? WHERE id = ?", (amount, line.id))
        move(connection, entry.id, line.stock_id, "delivered", amount, line=line.id)
        told.append(f"{line.item}: {_counted(amount, line.unit)} delivered{_rest(line, amount)}.")
    return told


def not_coming(connection: sqlite3.Connection, runs: Iterable[int], amounts: Mapping[str, int | None]) -> list[str]:
    """Record that something ordered will not come, as it was cancelled or cannot be had.

    Args:
        connection: the ledger, in a transaction.
        runs: the runs whose orders it belongs to.
        amounts: how much of which item, ``None`` for all that is open; empty for everything.

    Returns:
        A sentence about each line.

    Raises:
        CannotBe: there is no such run, nothing is open, or instruments that are planned already count on it.
    """
    lines = _chosen(connection, runs, amounts)
    enter(connection, "not coming")
    told = []
    for line, amount in lines:
        free = figure_of(connection, line.stock_id).free
        if amount > free:
            raise CannotBe(
                f"{line.item}: {_counted(amount, line.unit)} cannot be struck out: all but {free} are promised to "
                "instruments. Cancel those orders first, or order it elsewhere and tell the delivery as usual"
            )
        connection.execute("UPDATE order_line SET cancelled = cancelled + ? WHERE id = ?", (amount, line.id))
        told.append(f"{line.item}: {_counted(amount, line.unit)} will not come{_rest(line, amount)}.")
    return told


def _counted(amount: int, unit: str) -> str:
    """Spell an amount with its unit, one or several: ``1 piece``, ``2 bars``, ``250 g``."""
    several = {"piece": "pieces", "bar": "bars", "sheet": "sheets"}
    one = {words: word for word, words in several.items()}
    return f"{amount} {one.get(unit, unit) if amount == 1 else several.get(unit, unit)}"


def _rest(line: OpenLine, amount: int) -> str:
    return f", {line.open - amount} still to come" if line.open > amount else ""


def _chosen(
    connection: sqlite3.Connection, runs: Iterable[int], amounts: Mapping[str, int | None]
) -> list[tuple[OpenLine, int]]:
    lines = [line for run in runs for line in open_lines(connection, run)]
    if not lines:
        raise CannotBe("nothing of that order is still to come")
    if not amounts:
        return [(line, line.open) for line in lines]
    chosen = []
    for item, amount in amounts.items():
        of_item = [line for line in lines if plain(line.item) == plain(item)]
        most = sum(line.open for line in of_item)
        left = most if amount is None else amount
        if not of_item or not 0 < left <= most:
            raise CannotBe(f"{item}: {'nothing' if not most else f'only {most}'} of it is still to come")
        for line in of_item:
            part = min(line.open, left)
            left -= part
            chosen += [(line, part)] if part else []
    return chosen


def cancel(connection: sqlite3.Connection, orders: Sequence[str]) -> list[str]:
    """Cancel the orders of instruments: they are made no more, and what can be used again goes back to the shelf.

    What is in a cutting list counts as cut: pieces come back as offcuts under their labels where they are worth
    keeping, cable does not.

    Args:
        connection: the ledger, in a transaction.
        orders: order numbers; capitals and blanks do not count.

    Returns:
        A sentence about each order.

    Raises:
        CannotBe: the ledger does not have such an order, or it is cancelled already.
    """
    entry = enter(connection, "cancelled")
    return [_cancel(connection, entry.id, order) for order in orders]


def _cancel(connection: sqlite3.Connection, entry_id: int, order: str) -> str:
    instrument = _instrument(connection, order)
    if is_cancelled(connection, instrument):
        raise CannotBe(f"order {order} is cancelled already")
    kept = kept_kit(connection, instrument)
    connection.execute(
        "INSERT INTO cancellation (instrument_id, entry_id, kit_id) VALUES (?, ?, ?)",
        (instrument, entry_id, kept[0] if kept else None),
    )
    if kept is None:
        return f"Order {order} is cancelled; nothing was ordered for it."
    back = difference(EMPTY, kept[1], InstrumentResult(()))
    told = give_back(connection, entry_id, kept[0], back)
    return f"Order {order} is cancelled. Back on the shelf: {', '.join(told) or 'nothing that can be used again'}."


def resume(connection: sqlite3.Connection, orders: Sequence[str]) -> list[str]:
    """Take cancelled orders up again; the next run that has their surveys orders what they need.

    Args:
        connection: the ledger, in a transaction.
        orders: order numbers; capitals and blanks do not count.

    Returns:
        A sentence about each order.

    Raises:
        CannotBe: the ledger does not have such an order, or it is not cancelled.
    """
    entry = enter(connection, "resumed")
    for order in orders:
        instrument = _instrument(connection, order)
        if not is_cancelled(connection, instrument):
            raise CannotBe(f"order {order} is not cancelled")
        connection.execute(
            "INSERT INTO cancellation (instrument_id, entry_id, resumed) VALUES (?, ?, 1)", (instrument, entry.id)
        )
    return [f"Order {order} is taken up again; the next run with its survey orders its parts." for order in orders]


def _instrument(connection: sqlite3.Connection, order: str) -> int:
    rows = connection.execute(
        "SELECT instrument_id FROM survey WHERE order_key = ? AND superseded_by IS NULL ORDER BY id", (plain(order),)
    ).fetchall()
    if not rows:
        raise CannotBe(f"the ledger has no order {order}; railwright ledger show lists the orders")
    return int(next((row[0] for row in rows if not is_cancelled(connection, row[0])), rows[0][0]))


def withdraw(connection: sqlite3.Connection, run: int) -> list[str]:
    """Take a whole run back, as if it had never been: nothing of it has been ordered or cut yet.

    Args:
        connection: the ledger, in a transaction.
        run: its number.

    Returns:
        A sentence.

    Raises:
        CannotBe: there is no such run, or something was entered since.
    """
    _known_run(connection, run)
    last = connection.execute("SELECT max(id) FROM entry").fetchone()[0]
    if last != run:
        raise CannotBe(f"run {run} cannot be taken back, as entry {last} came after it; only the last one can")
    drop(connection, run)
    return [f"Run {run} is taken back: what it ordered and cut does not count. Throw its output away."]
