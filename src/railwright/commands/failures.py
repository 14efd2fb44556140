"""Turn expected failures into a sentence and the contract's exit status; put unexpected ones into a log file."""

from __future__ import annotations

import errno
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
    try:
        log = Path(tempfile.gettempdir()) / "railwright-failure.log"
        log.write_text(trace, encoding="utf-8")
    except OSError:
        return f"Details:\n{trace}"
    return f"Details: {log}"


def _of_the_system(error: OSError) -> str:
    where = f" ({error.filename})" if error.filename else ""
    reason = error.strerror or str(error)
    remedy = _remedy(error)
    return f"the run could not be completed{where}: {reason}{remedy and ': '}{remedy}."


def _remedy(error: OSError) -> str:
    """Say what to do about a failure of the system, where that is known."""
    if error.errno in _FULL:
        return f"make room where the output goes and {_temporary_files()}, and run again"
    if isinstance(error, PermissionError) or error.errno == errno.EROFS:
        return "the place is read-only, or a file is open in another program; close it and run again"
    if error.errno == errno.ENAMETOOLONG or _is_too_long_for_windows(error):
        return "the path is too long for this system; name an output folder with a shorter path"
    return ""


def _temporary_files() -> str:
    try:
        return f"where temporary files go ({tempfile.gettempdir()})"
    except OSError:  # there is no room for any
        return "where temporary files go"


_FULL = frozenset({errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)})

#: Windows finds no file with a longer path unless it has been told to.
_LONGEST_ON_WINDOWS = 259


def _is_too_long_for_windows(error: OSError) -> bool:
    named = isinstance(error, FileNotFoundError) and len(str(error.filename or "")) > _LONGEST_ON_WINDOWS
    return sys.platform == "win32" and named
