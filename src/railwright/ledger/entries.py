"""Entries of the ledger: begun, prepared, done; and what a run that was broken off leaves.

A run enters everything in one transaction, as ``prepared``, just before its output folder takes its place, and is
``done`` just after. It keeps everybody else out from the beginning of the transaction until then. The same token stands
in the entry and in the output. So whenever a run is killed, the next one to open the ledger can tell: the output with
that token is in its place, and the entry is done; or it is not, and the entry goes, with all rows that came with it.
"""

from __future__ import annotations

import platform
import secrets
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal

from railwright import __version__
from railwright.book.model import ShopBook
from railwright.ledger.connection import LedgerTrouble, begin, roll_back, transaction

EntryKind = Literal["week", "delivered", "not coming", "cancelled", "resumed"]

#: Tells whether an output folder holds what a run with this token wrote; ``None`` where that cannot be seen from here.
Stands = Callable[[Path, str, bool], bool | None]


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry while it is being made: its number in the ledger, and its token."""

    id: int
    token: str


def enter(
    connection: sqlite3.Connection,
    kind: EntryKind,
    *,
    done: bool = True,
    folder: Path | None = None,
    out: Path | None = None,
    book: ShopBook | None = None,
) -> Entry:
    """Add an entry.

    Args:
        connection: the ledger, in a transaction.
        kind: what it is.
        done: whether nothing else must happen for it to count.
        folder: the input of a run.
        out: its output folder.
        book: its shop book.

    Returns:
        The entry.
    """
    token = secrets.token_hex(16)
    cursor = connection.execute(
        "INSERT INTO entry (kind, state, token, at, machine, folder, out, shop_book, currency, program) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            kind,
            "done" if done else "prepared",
            token,
            datetime.now(UTC).isoformat(timespec="seconds"),
            platform.node(),
            str(folder.resolve()) if folder else "",
            str(out.resolve()) if out else "",
            book.name if book else "",
            book.text("currency") if book else "",
            __version__,
        ),
    )
    return Entry(int(cursor.lastrowid or 0), token)


def begin_alone(connection: sqlite3.Connection, wait_seconds: float, tell: Callable[[str], None]) -> None:
    """Begin a transaction and keep everybody else from writing even after its commit, until ``let_others_in``."""
    connection.execute("PRAGMA locking_mode = EXCLUSIVE")
    try:
        begin(connection, wait_seconds, tell)
    except BaseException:
        let_others_in(connection)
        raise


def let_others_in(connection: sqlite3.Connection) -> None:
    """Give up what is not committed, and let go of the file."""
    roll_back(connection)
    connection.execute("PRAGMA locking_mode = NORMAL")
    connection.execute("SELECT count(*) FROM sqlite_master").fetchone()  # the next access lets go


def finish(connection: sqlite3.Connection, entry_id: int) -> None:
    """Mark an entry as done."""
    connection.execute("UPDATE entry SET state = 'done' WHERE id = ?", (entry_id,))


def drop(connection: sqlite3.Connection, entry_id: int) -> None:
    """Take an entry back with everything that came with it."""
    connection.execute("DELETE FROM entry WHERE id = ?", (entry_id,))


def settle(connection: sqlite3.Connection, stands: Stands, tell: Callable[[str], None]) -> None:
    """Finish or take back what a run left prepared that was broken off.

    Args:
        connection: the ledger; nobody else is between preparing and finishing, as that keeps the file locked.
        stands: looks at an output folder.
        tell: called with a sentence about each.

    Raises:
        LedgerTrouble: the output lies where it cannot be seen from here.
    """
    if connection.execute("SELECT 1 FROM entry WHERE state = 'prepared'").fetchone() is None:
        return
    with transaction(connection):
        for row in connection.execute("SELECT * FROM entry WHERE state = 'prepared' ORDER BY id").fetchall():
            found = stands(Path(row["out"]), row["token"], row["machine"] == platform.node())
            if found is None:
                raise LedgerTrouble(_unseen(row))
            if found:
                finish(connection, row["id"])
                tell(
                    f"Run {row['id']} of {row['at'][:10]} was broken off when all was written; its entry is completed."
                )
            else:
                drop(connection, row["id"])
                tell(f"A run of {row['at'][:10]} was broken off before its output stood; its entry is taken back.")


def _unseen(row: sqlite3.Row) -> str:
    return (
        f"run {row['id']} was broken off on the machine {row['machine']} while its output {row['out']} was being put "
        "in place, and that folder cannot be seen from here. Start railwright process with this ledger on that machine "
        "once, or say what became of it: railwright ledger settle"
    )


def refuse_other_book(connection: sqlite3.Connection, book: ShopBook, default_name: str) -> None:
    """Refuse the default shop book where the ledger follows the shelf of a shop's own.

    Args:
        connection: the ledger.
        book: the shop book of a run.
        default_name: what the default one is called.

    Raises:
        LedgerTrouble: with a sentence for the user.
    """
    row = connection.execute(
        "SELECT shop_book FROM entry WHERE kind = 'week' AND state = 'done' ORDER BY id DESC LIMIT 1"
    ).fetchone()
    if row is not None and book.name == default_name != row["shop_book"]:
        raise LedgerTrouble(
            f"the ledger was last used with the shop book {row['shop_book']}; without --shop-book its shelf would be "
            "compared with the invented stock of the default one. Name the shop book"
        )
