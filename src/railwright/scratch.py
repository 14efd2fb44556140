"""Bytes that wait in a temporary file, so that what a large run keeps is not all in memory."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from types import TracebackType


class Scratch:
    """One temporary file that vanishes with its last use, and with its process however that ends."""

    def __init__(self, folder: Path) -> None:
        """Open the file.

        Args:
            folder: where it lies, while it has a name at all.

        Raises:
            OSError: nothing can be written there.
        """
        self._file = tempfile.TemporaryFile(dir=folder)  # noqa: SIM115 - closed when it is left
        self._size = 0
        self._lock = Lock()  # whoever hands work out to the workers reads in a thread of its own

    def __enter__(self) -> Scratch:
        """Use it for a while."""
        return self

    def __exit__(self, kind: type[BaseException] | None, fault: BaseException | None, at: TracebackType | None) -> None:
        """Let go of the file; what was kept cannot be had any more."""
        self._file.close()

    def keep(self, content: bytes) -> Kept:
        """Put bytes away.

        Args:
            content: the bytes.

        Returns:
            What stands for them.

        Raises:
            OSError: the disk is full.
        """
        with self._lock:
            self._file.seek(self._size)
            self._file.write(content)
            self._file.flush()  # a full disk is told here, not at the end
            kept = Kept(self, self._size, len(content))
            self._size += len(content)
        return kept

    def read(self, start: int, size: int) -> bytes:
        """Give bytes back."""
        with self._lock:
            self._file.seek(start)
            return self._file.read(size)


@dataclass(frozen=True, slots=True)
class Kept:
    """Bytes that were put away; ``bytes`` gives them. To another process they travel as they are."""

    scratch: Scratch
    start: int
    size: int

    def __bytes__(self) -> bytes:
        """Read them."""
        return self.scratch.read(self.start, self.size)

    def __reduce__(self) -> tuple[type[bytes], tuple[bytes]]:
        """Travel as the bytes themselves: no other process has the file."""
        return bytes, (bytes(self),)
