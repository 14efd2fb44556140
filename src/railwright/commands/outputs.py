"""Write an output folder of a command that reads a ledger, whole or not at all."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from railwright.commands.failures import USAGE, Stop


def written_to(out: Path, ledger: Path, build: Callable[[Path], None], main: str) -> None:
    """Build a folder aside and swap it in; what an earlier run left, and what was kept, is told.

    Args:
        out: the folder.
        ledger: the ledger, which must not lie in it.
        build: writes everything into the folder that it is given.
        main: how the name of a file begins that every output of the command has, and no other.

    Raises:
        Stop: the folder cannot be used, or another run is writing it.
    """
    from railwright.writing.output_folder import OutputBusy, OutputRefused, refuse_foreign, write_whole

    if ledger.resolve().is_relative_to(out.resolve()):
        raise Stop(f"the ledger {ledger} lies inside {out}, which is replaced whole. Name another folder.", USAGE)
    try:
        refuse_foreign(out, main)
        _, kept = write_whole(out, build, lambda sentence: click.echo(sentence, err=True))
    except OutputRefused as refusal:
        raise Stop(str(refusal), USAGE) from refusal
    except OutputBusy as busy:
        raise Stop(str(busy)) from busy
    if kept:
        click.echo(f"Files in the earlier {out} had been changed or added; it is kept as {kept}.", err=True)
