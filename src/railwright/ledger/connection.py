"""Open a ledger: made where there is none, brought up to date, and told from everything that is no ledger."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote

from railwright.ledger.schema import APPLICATION_ID, NEWEST, STEPS

#: How long one office waits for another that is writing. A week is planned and recorded in far less.
WAIT_SECONDS = 120.0

_SQLITE = b"SQLite format 3\x00"
#: Keeps the pages of a week in memory until they are committed, so that reports can be read meanwhile.
_CACHE_KIB = 65536


class LedgerTrouble(Exception):
    """The ledger cannot be used or written; the message is a sentence that says why and what to do."""


@contextmanager
def opened(
    path: Path, wait_seconds: float = WAIT_SECONDS, tell: Callable[[str], None] = lambda sentence: None
) -> Iterator[sqlite3.Connection]:
    """Open a ledger to write in it; made new where there is none, and brought to the newest version.

    Nothing is written until a ``transaction`` ends. The connection speaks plain SQL: no transaction of Python's own.

    Args:
        path: the file.
        wait_seconds: how long to wait for somebody else who is writing.
        tell: called with a sentence when that happens.

    Yields:
        The connection, with foreign keys enforced; rows are ``sqlite3.Row``.

    Raises:
        LedgerTrouble: the file is no ledger, is newer than this program, cannot be written, or is in use for too long.
    """
    _refuse_other_files(path)
    with _told(path):
        connection = _connect(path, "rwc", wait_seconds)
    try:
        with _told(path):
            connection.execute("PRAGMA synchronous = EXTRA")
            connection.execute(f"PRAGMA cache_size = -{_CACHE_KIB}")
            connection.execute("PRAGMA cache_spill = OFF")
            with transaction(connection, wait_seconds, tell):  # shows at once whether the place can be written
                _bring_up_to_date(connection, path)
            yield connection
    finally:
        connection.close()


@contextmanager
def opened_to_read(path: Path) -> Iterator[sqlite3.Connection]:
    """Open a ledger for a report: read-only, while others may write.

    Args:
        path: the file; there must be one.

    Yields:
        The connection; rows are ``sqlite3.Row``. All that is read through it is of one moment.

    Raises:
        LedgerTrouble: there is no such file, it is no ledger, or it is of another version than this program's.
    """
    if not path.is_file():
        raise LedgerTrouble(f"there is no ledger {path}; railwright process with --ledger makes one")
    _refuse_other_files(path)
    with _told(path):
        _settle_journal(path)
        connection = _connect(path, "ro", WAIT_SECONDS)
    try:
        with _told(path):
            version = _version(connection, path)
            if version == 0:
                raise LedgerTrouble(f"{path} is empty; railwright process with --ledger fills it")
            if version < NEWEST:
                raise LedgerTrouble(
                    f"the ledger {path} is of an older version ({version}, this program's is {NEWEST}); run "
                    "railwright process with it once, which brings it up to date"
                )
            connection.execute("BEGIN")
            yield connection
    finally:
        connection.close()


@contextmanager
def transaction(
    connection: sqlite3.Connection,
    wait_seconds: float = WAIT_SECONDS,
    tell: Callable[[str], None] = lambda sentence: None,
) -> Iterator[None]:
    """Do everything or nothing, with nobody else writing meanwhile.

    Args:
        connection: from ``opened``.
        wait_seconds: how long to wait for somebody else who is writing.
        tell: called with a sentence when that happens.

    Yields:
        Nothing; the end of the block commits, an exception rolls back.

    Raises:
        sqlite3.OperationalError: somebody else was writing all the time, or the disk is full.
    """
    begin(connection, wait_seconds, tell)
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        roll_back(connection)
        raise


def begin(
    connection: sqlite3.Connection,
    wait_seconds: float = WAIT_SECONDS,
    tell: Callable[[str], None] = lambda sentence: None,
) -> None:
    """Keep everybody else from writing until ``COMMIT`` or ``roll_back``; wait for whoever is writing now."""
    connection.execute("PRAGMA busy_timeout = 0")
    try:
        connection.execute("BEGIN IMMEDIATE")
    except sqlite3.OperationalError as trouble:
        if not _is_busy(trouble):
            raise
        tell(f"Somebody else is writing the ledger; waiting up to {wait_seconds:.0f} seconds.")
        connection.execute(f"PRAGMA busy_timeout = {int(wait_seconds * 1000)}")
        connection.execute("BEGIN IMMEDIATE")
    connection.execute(f"PRAGMA busy_timeout = {int(wait_seconds * 1000)}")


def roll_back(connection: sqlite3.Connection) -> None:
    """Leave the ledger as it was before ``begin``; quiet where there is nothing to roll back."""
    if connection.in_transaction:
        connection.execute("ROLLBACK")


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Turn what SQLite reports of the file into a sentence."""
    try:
        yield
    except sqlite3.DatabaseError as trouble:
        if words := _words(trouble, path):
            raise LedgerTrouble(words) from trouble
        raise


def _words(trouble: sqlite3.DatabaseError, path: Path) -> str:
    code = getattr(trouble, "sqlite_errorcode", 0) & 0xFF
    told = {
        sqlite3.SQLITE_BUSY: "somebody else is writing the ledger {0}. Nothing was changed; run again after it",
        sqlite3.SQLITE_LOCKED: "somebody else is writing the ledger {0}. Nothing was changed; run again",
        sqlite3.SQLITE_READONLY: "the ledger {0} cannot be written: the file or its folder is read-only. Nothing was "
        "changed",
        sqlite3.SQLITE_PERM: "the ledger {0} cannot be written: the place does not allow it. Nothing was changed",
        sqlite3.SQLITE_FULL: "the disk with the ledger {0} is full. Nothing was changed; make room and run again",
        sqlite3.SQLITE_IOERR: "the disk with the ledger {0} failed or is full. Nothing was changed; run again",
        sqlite3.SQLITE_CANTOPEN: "the ledger {0} cannot be opened or written there: look whether its folder exists and "
        "can be written. Nothing was changed",
        sqlite3.SQLITE_NOTADB: "{0} is no ledger of railwright. It was left as it is; name another file",
        sqlite3.SQLITE_CORRUPT: "the ledger {0} is damaged. Nothing was changed; put back the last copy of it",
    }.get(code)
    return "" if told is None else told.format(path)


def _is_busy(trouble: sqlite3.OperationalError) -> bool:
    return trouble.sqlite_errorcode & 0xFF == sqlite3.SQLITE_BUSY


def _refuse_other_files(path: Path) -> None:
    """Look at a file without touching it; an empty one may become a ledger."""
    if path.is_dir():
        raise LedgerTrouble(f"{path} is a folder; name a file for the ledger")
    try:
        with path.open("rb") as file:
            start = file.read(len(_SQLITE))
    except FileNotFoundError:
        return
    except OSError as trouble:
        raise LedgerTrouble(f"the ledger {path} cannot be read: {trouble.strerror}") from trouble
    if start and start != _SQLITE:
        raise LedgerTrouble(f"{path} is no ledger of railwright. It was left as it is; name another file")


def _connect(path: Path, mode: str, wait_seconds: float) -> sqlite3.Connection:
    connection = sqlite3.connect(
        _address(path, mode), uri=True, isolation_level=None, timeout=wait_seconds, check_same_thread=True
    )
    connection.row_factory = sqlite3.Row
    connection.execute("PRAGMA foreign_keys = ON")
    return connection


def _address(path: Path, mode: str) -> str:
    """Spell a path as SQLite's own kind of address; a drive letter and a share need a slash in front."""
    place = path.resolve().as_posix()
    return f"file://{'' if place.startswith('/') else '/'}{quote(place)}?mode={mode}"


def _settle_journal(path: Path) -> None:
    """Take back what a writer left half written that was killed: a read-only connection may not."""
    connection = _connect(path, "ro", WAIT_SECONDS)
    try:
        connection.execute("PRAGMA application_id").fetchone()
        return
    except sqlite3.OperationalError as trouble:
        if trouble.sqlite_errorcode & 0xFF not in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN):
            raise
    finally:
        connection.close()
    connection = _connect(path, "rw", WAIT_SECONDS)
    try:
        connection.execute("PRAGMA application_id").fetchone()
    finally:
        connection.close()


def _version(connection: sqlite3.Connection, path: Path) -> int:
    """Look up the version of a ledger.

    Args:
        connection: the open file.
        path: its place, for the sentence.

    Returns:
        The number of the last step that it has been through, 0 for an empty file.

    Raises:
        LedgerTrouble: another program's file, or a ledger of a newer railwright.
    """
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    (tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    if application != APPLICATION_ID and (application or version or tables):
        raise LedgerTrouble(f"{path} is no ledger of railwright. It was left as it is; name another file")
    if version > NEWEST:
        raise LedgerTrouble(
            f"the ledger {path} was written by a newer railwright (version {version} of the ledger, this program knows "
            f"up to {NEWEST}). It was left as it is; use the newer program"
        )
    return int(version)


def _bring_up_to_date(connection: sqlite3.Connection, path: Path) -> None:
    """Take the steps that the file has not been through yet."""
    version = _version(connection, path)
    if version == NEWEST:
        return
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    for step in STEPS[version:]:
        for statement in step.statements:
            connection.execute(statement)
    connection.execute(f"PRAGMA user_version = {NEWEST}")
