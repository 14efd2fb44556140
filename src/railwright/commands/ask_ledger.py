"""Read from a ledger that was named on the command line; what is wrong with it is a sentence."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from railwright.commands.failures import Stop

Told = TypeVar("Told")


def read_from(ledger: Path, ask: Callable[[sqlite3.Connection], Told]) -> Told:
    """Open a ledger to read, ask it, and close it.

    Args:
        ledger: the file.
        ask: called with the open ledger.

    Returns:
        What ``ask`` gave.

    Raises:
        Stop: the file cannot be read as a ledger.
    """
    from railwright.ledger.connection import LedgerTrouble, opened_to_read

    try:
        with opened_to_read(ledger) as connection:
            return ask(connection)
    except LedgerTrouble as trouble:
        raise Stop(f"{trouble}.") from trouble
