"""The ledger that a command works with."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from railwright.commands.failures import USAGE, Stop

if TYPE_CHECKING:
    from railwright.recording import Recording

#: The options of commands that write a folder from a ledger and only read it.
ledger_to_read = click.option(
    "--ledger",
    required=True,
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The ledger that railwright process keeps.",
)
folder_to_write = click.option(
    "-o", "--out", required=True, type=click.Path(path_type=Path), help="Folder to write; made new."
)


@contextmanager
def ledger_at(path: Path, tell: Callable[[str], None]) -> Iterator[sqlite3.Connection]:
    """Open the ledger that the user named, to write in it; what a run left that was broken off is settled first.

    Args:
        path: the file; made new where there is none.
        tell: called with sentences for the user.

    Yields:
        The connection.

    Raises:
        Stop: the ledger cannot be used or written; the message says why.
    """
    from railwright.ledger.connection import opened
    from railwright.recording import settle_ledger

    with ledger_trouble(), opened(path, tell=tell) as connection:
        settle_ledger(connection, tell)
        yield connection


@contextmanager
def ledger_trouble() -> Iterator[None]:
    """Turn what is wrong with a ledger into the end of the command."""
    from railwright.ledger.connection import LedgerTrouble

    try:
        yield
    except LedgerTrouble as trouble:
        raise Stop(f"{trouble}.") from trouble


@contextmanager
def recording_in(path: Path | None, folder: Path, out: Path, tell: Callable[[str], None]) -> Iterator[Recording | None]:
    """Open the ledger of a run, if it has one.

    Args:
        path: the file, or ``None``.
        folder: the input folder, in which nothing is ever written.
        out: the output folder, which is replaced as a whole.
        tell: called with sentences for the user.

    Yields:
        What the run is entered with.

    Raises:
        Stop: the ledger cannot be used or written; the message says why.
    """
    if path is None:
        yield None
        return
    from railwright.recording import Recording

    for place, why in ((folder, "the input folder, in which nothing is written"), (out, "the output folder")):
        if path.resolve().is_relative_to(place.resolve()):
            raise Stop(f"the ledger {path} lies in {why}. Name a place of its own.", USAGE)
    with ledger_at(path, tell) as connection:
        yield Recording(connection)
