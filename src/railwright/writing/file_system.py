"""What only some systems can do: swap two folders in one step, and hold a lock that ends with its process."""

from __future__ import annotations

import ctypes
import errno
import os
import sys
from contextlib import suppress
from pathlib import Path
from threading import Lock
from typing import Any

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2
#: A system or a disk that cannot exchange names answers so.
_CANNOT = frozenset({errno.ENOSYS, errno.EINVAL, errno.ENOTSUP})


def exchange(one: Path, other: Path) -> bool:
    """Let two folders change names in one step, so that there is no moment without either (Linux, renameat2(2)).

    Args:
        one: a folder.
        other: another one on the same disk.

    Returns:
        Whether it was done; ``False`` where the system or the disk cannot, and then nothing was changed.

    Raises:
        OSError: it can, but may not.
    """
    call: Any = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None) if sys.platform == "linux" else None
    if call is None:
        return False
    if call(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _RENAME_EXCHANGE) == 0:
        return True
    code = ctypes.get_errno()
    if code in _CANNOT:
        return False
    raise OSError(code, os.strerror(code), str(other))


#: Locks that this process holds; the system's own locks keep out other processes only.
_held_here: set[Path] = set()
_guard = Lock()


def hold(path: Path) -> int | None:
    """Hold a lock file that the system frees when this process ends, even if it is killed.

    Args:
        path: the lock file; made new where there is none. One that a dead process left is taken over.

    Returns:
        What ``release`` wants; ``None`` while somebody else holds it.

    Raises:
        OSError: the file cannot be made, or the disk has no locks.
    """
    with _guard:
        if path in _held_here:
            return None
        while True:
            file = os.open(path, os.O_CREAT | os.O_RDWR, 0o644)
            if not _lock(file):
                os.close(file)
                return None
            if _is_at(file, path):
                _held_here.add(path)
                return file
            os.close(file)  # its last owner removed it between our opening and locking it


def release(path: Path, file: int) -> None:
    """Let go of a lock, and remove its file.

    Args:
        path: the lock file.
        file: what ``hold`` gave.
    """
    with _guard:
        _held_here.discard(path)
        try:
            path.unlink(missing_ok=True)
        except OSError:  # a system that removes no open file; if somebody else has it open by now, it is theirs
            os.close(file)
            with suppress(OSError):
                path.unlink()
        else:
            os.close(file)


def _is_at(file: int, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(file), path.stat())
    except FileNotFoundError:
        return False


if sys.platform == "win32":
    import msvcrt

    def _lock(file: int) -> bool:
        try:
            msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _lock(file: int) -> bool:
        try:
            fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as trouble:
            if trouble.errno in (errno.EACCES, errno.EAGAIN):
                return False
            raise
        return True
