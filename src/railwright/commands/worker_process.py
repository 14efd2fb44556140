"""What a worker process does: take a task from its line, do it, send back what came of it, until the line ends.

Nothing heavy is imported here before the limits are set.
"""

from __future__ import annotations

import os
import pickle
import signal
from importlib import import_module
from multiprocessing import parent_process
from multiprocessing.connection import Connection, wait
from pathlib import Path
from threading import Thread
from typing import Any

#: Sent once when a worker can take its first task.
READY = b"ready"


def serve(line: Connection, prepare: str, memory_bytes: int) -> None:
    """Work until the other end of the line is closed.

    Args:
        line: brings a pickled ``(function, arguments, keywords)``, takes back a pickled ``(done, value or exception)``.
        prepare: the module that tasks need, imported before the first of them.
        memory_bytes: room for the tasks beside what the program itself takes, where the system can be told so.
    """
    Thread(target=end_with_parent, daemon=True).start()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the process that shares out the work ends its workers itself
    for library in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(library, "1")  # workers share the processors already
    import_module(prepare)
    bound_memory(memory_bytes)
    try:
        line.send_bytes(READY)
        while True:
            line.send_bytes(outcome_of(line.recv_bytes()))
    except (EOFError, OSError):  # nobody listens any more
        return


def end_with_parent() -> None:
    """End this process as soon as the one that started it is gone, whatever a task is doing; nobody waits for it."""
    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)


def outcome_of(message: bytes) -> bytes:
    """Do one task.

    Args:
        message: the pickled task.

    Returns:
        The pickled outcome: ``(True, value)`` or ``(False, exception)``.
    """
    try:
        function, arguments, keywords = pickle.loads(message)
        return pickle.dumps((True, function(*arguments, **keywords)), pickle.HIGHEST_PROTOCOL)
    except Exception as fault:
        return _spelled(fault)


def _spelled(fault: Exception) -> bytes:
    """Pickle an exception; one that cannot travel is told in words."""
    try:
        message = pickle.dumps((False, fault), pickle.HIGHEST_PROTOCOL)
        pickle.loads(message)
    except Exception:
        return pickle.dumps((False, RuntimeError(f"{type(fault).__name__}: {fault}")))
    return message


def bound_memory(room_bytes: int) -> bool:
    """Let this process take so much more memory than it has now; beyond, Python raises ``MemoryError``.

    Args:
        room_bytes: the room.

    Returns:
        Whether the system can be told so: Linux can. Elsewhere the limits on what is read from a file must do.
    """
    taken = _taken_bytes()
    if taken is None:
        return False
    import resource

    most = taken + room_bytes
    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    resource.setrlimit(resource.RLIMIT_AS, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))
    return True


def _taken_bytes() -> int | None:
    """Read how large this process is from the system; ``None`` where it does not tell."""
    try:
        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    except (OSError, ValueError, IndexError):
        return None
    sysconf: Any = getattr(os, "sysconf", None)
    return pages * int(sysconf("SC_PAGE_SIZE")) if sysconf else None
