"""Turn expected failures into a sentence and the contract's exit status; put unexpected ones into a log file."""

from __future__ import annotations

import sys
import tempfile
import traceback
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import ParamSpec

import click

P = ParamSpec("P")

OK, ASKED_FOR, USAGE, NOT_COMPLETED = 0, 1, 2, 3


class Stop(Exception):
    """A run that cannot go on; the message is a sentence for the user."""

    def __init__(self, message: str, status: int = NOT_COMPLETED) -> None:
        """Keep the sentence and the exit status."""
        super().__init__(message)
        self.status = status


def sentences(command: Callable[P, int]) -> Callable[P, None]:
    """Wrap a command that returns its exit status: failures become one sentence on stderr.

    Args:
        command: the command's function.

    Returns:
        The function that click calls; it always ends the process with an exit status of the contract.
    """

    @wraps(command)
    def wrapped(*args: P.args, **kwargs: P.kwargs) -> None:
        sys.exit(_status(lambda: command(*args, **kwargs)))

    return wrapped


def _status(call: Callable[[], int]) -> int:
    try:
        return call()
    except Stop as stop:
        click.echo(f"railwright: {stop}", err=True)
        return stop.status
    except OSError as error:
        click.echo(f"railwright: {_of_the_system(error)}", err=True)
        return NOT_COMPLETED
    except KeyboardInterrupt:
        click.echo("railwright: stopped. Nothing was left half written.", err=True)
        return NOT_COMPLETED
    except click.ClickException:
        raise
    except Exception:
        click.echo(
            f"railwright: a fault of the program stopped the run; the surveys were not changed. {_details_kept()}",
            err=True,
        )
        return NOT_COMPLETED


def _details_kept() -> str:
    """Keep the trace of the exception in hand in a log file; where none can be written, give it whole."""
    trace = traceback.format_exc()
    log = Path(tempfile.gettempdir()) / "railwright-failure.log"
    try:
        log.write_text(trace, encoding="utf-8")
    except OSError:
        return f"Details:\n{trace}"
    return f"Details: {log}"


def _of_the_system(error: OSError) -> str:
    where = f" ({error.filename})" if error.filename else ""
    reason = error.strerror or str(error)
    if isinstance(error, PermissionError):
        reason += ": the place is read-only, or a file is open in another program; close it and run again"
    return f"the run could not be completed{where}: {reason}."
