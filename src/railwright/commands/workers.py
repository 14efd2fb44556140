"""Worker processes for the command line."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager

from railwright.commands.bounded_pool import BoundedPool

#: What one file may take before it is given up. The largest of honest surveys takes a hundredth of it.
SECONDS_FOR_A_FILE = 60.0

#: Room for one file beside the program itself; the limits on what is read of a file keep it under some 200 MB.
BYTES_FOR_A_FILE = 512 * 1024 * 1024

#: Below this many files a further worker's start costs more than it saves.
FILES_FOR_ONE_MORE = 8

#: This process plans while its workers write; it must not let them wait for their next file.
_SWITCH_SECONDS = 0.0005


@contextmanager
def workers(jobs: int | None) -> Iterator[Executor]:
    """Start a pool for the work on files; even a single file has a worker, so that none can stop the run.

    The first worker starts at once, beside whatever the caller does meanwhile.

    Args:
        jobs: worker processes asked for; ``None`` chooses by the machine and the work.

    Yields:
        The pool. It ends with its work, or at once if the caller fails.
    """
    most = jobs or os.cpu_count() or 1
    worth = 1 if jobs else FILES_FOR_ONE_MORE
    pool = BoundedPool(most, SECONDS_FOR_A_FILE, BYTES_FOR_A_FILE, "railwright.one_file", worth)
    patience = sys.getswitchinterval()
    sys.setswitchinterval(_SWITCH_SECONDS)
    try:
        yield pool
    except BaseException:
        pool.stop()
        raise
    finally:
        sys.setswitchinterval(patience)
    pool.shutdown()
