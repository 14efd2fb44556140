"""Worker processes for long work."""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager

#: Below this many files a worker's start-up costs more than it saves.
FILES_PER_WORKER = 20


@contextmanager
def workers(jobs: int | None, files: int) -> Iterator[Executor | None]:
    """Give an executor for so many files, or ``None`` where one process does as well.

    Args:
        jobs: worker processes asked for; ``None`` chooses by the machine and the work.
        files: how many files there are.

    Yields:
        A process pool, ended when the work is done; or ``None``.
    """
    count = jobs or max(1, min(os.cpu_count() or 1, files // FILES_PER_WORKER))
    if count == 1:
        yield None
        return
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(count) as pool:
        yield pool
