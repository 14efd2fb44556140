"""Run the command and watch the memory of all its processes together (Linux)."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from threading import Event, Thread

SOURCES = Path(__file__).resolve().parents[1] / "src"
MIB = 1024 * 1024


def run_watched(*arguments: object, every_s: float = 0.2) -> tuple[subprocess.CompletedProcess[str], float]:
    """Run ``railwright`` to its end.

    Args:
        *arguments: of the command.
        every_s: how often the memory is looked at.

    Returns:
        What came of it, and the peak in MiB: the resident pages of the process and its descendants, those that they
        share counted once each.
    """
    environment = {**os.environ, "PYTHONPATH": str(SOURCES)}
    command = [sys.executable, "-m", "railwright", *map(str, arguments)]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    with subprocess.Popen(command, env=environment, text=True, encoding="utf-8", **pipes) as run:
        done, peak = Event(), [0.0]
        watcher = Thread(target=_watch, args=(run.pid, done, peak, every_s))
        watcher.start()
        out, err = run.communicate()
        done.set()
        watcher.join()
    return subprocess.CompletedProcess(command, run.returncode, out, err), peak[0]


def _watch(pid: int, done: Event, peak: list[float], every_s: float) -> None:
    """Keep the largest sum of resident memory of a process and its descendants, until it is done."""
    while not done.wait(every_s):
        peak[0] = max(peak[0], sum(_resident_mib(each) for each in [pid, *_descendants(pid)]))


def _descendants(pid: int) -> list[int]:
    try:
        text = "".join(path.read_text() for path in Path(f"/proc/{pid}/task").glob("*/children"))
    except OSError:
        return []
    own = [int(word) for word in text.split()]
    return own + [each for child in own for each in _descendants(child)]


def _resident_mib(pid: int) -> float:
    try:
        pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    except (OSError, IndexError):
        return 0.0
    return pages * os.sysconf("SC_PAGE_SIZE") / MIB
