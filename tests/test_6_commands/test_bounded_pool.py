"""Workers in which one task can cost no more than itself: it may hang, die or eat memory, and the rest is done."""

import os
import subprocess
import sys
import time
from concurrent.futures import CancelledError
from pathlib import Path

import pytest

from railwright.commands.bounded_pool import BoundedPool
from railwright.commands.worker_process import bound_memory

MIB = 1024 * 1024


def pool_of(workers: int = 1, seconds: float = 30.0) -> BoundedPool:
    return BoundedPool(workers, seconds, 300 * MIB, "json")


def test_calls_are_shared_out_and_answered_in_order():
    with pool_of(2) as pool:
        assert list(pool.map(divmod, range(40), [7] * 40)) == [divmod(number, 7) for number in range(40)]


def test_a_call_that_fails_raises_what_it_raised_and_the_next_is_done():
    with pool_of() as pool:
        bad, good = pool.submit(divmod, 1, 0), pool.submit(divmod, 9, 4)
        with pytest.raises(ZeroDivisionError):
            bad.result()
        assert good.result() == (2, 1)


def test_a_task_that_hangs_is_ended_and_costs_itself_only():
    with pool_of(seconds=0.5) as pool:
        assert pool.submit(abs, -1).result() == 1
        hangs, after = pool.submit(time.sleep, 600), pool.submit(abs, -2)
        with pytest.raises(TimeoutError, match=r"longer than 0\.5 seconds"):
            hangs.result()
        assert after.result() == 2


def test_a_task_within_its_time_is_left_alone():
    with pool_of(seconds=5.0) as pool:
        assert pool.submit(time.sleep, 0.2).result() is None


def test_a_worker_that_dies_costs_its_task_only():
    with pool_of() as pool:
        dies, after = pool.submit(os._exit, 7), pool.submit(abs, -2)
        with pytest.raises(ChildProcessError, match="status 7"):
            dies.result()
        assert after.result() == 2


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux can be told how much memory a process may take")
def test_a_task_that_eats_memory_is_told_so():
    with pool_of() as pool:
        eats, after = pool.submit(bytes, 2000 * MIB), pool.submit(len, b"x" * MIB)
        with pytest.raises(MemoryError):
            eats.result()
        assert after.result() == MIB


def test_without_a_word_from_the_system_no_bound_is_claimed(monkeypatch):
    monkeypatch.setattr("railwright.commands.worker_process._taken_bytes", lambda: None)
    assert bound_memory(MIB) is False


def test_workers_that_cannot_start_are_told_and_not_tried_for_ever():
    pool = BoundedPool(2, 5.0, 300 * MIB, "railwright.no_such_module")
    with pytest.raises((OSError, RuntimeError), match=r"cannot be started|is closed"):
        pool.submit(abs, -1).result(timeout=60)
    pool.shutdown()


def test_a_call_or_a_result_that_cannot_travel_is_told():
    with pool_of() as pool:
        with pytest.raises(Exception, match="lambda"):
            pool.submit(lambda: 1).result()
        with pytest.raises(Exception, match="pickle"):
            pool.submit(memoryview, b"x").result()
        assert pool.submit(abs, -1).result() == 1


def test_stopping_ends_what_is_under_way_at_once():
    pool = pool_of()
    assert pool.submit(abs, -1).result() == 1
    started = time.monotonic()
    running, waiting = pool.submit(time.sleep, 600), pool.submit(abs, -1)
    pool.stop()
    assert time.monotonic() - started < 20
    for future in (running, waiting):
        with pytest.raises((ChildProcessError, CancelledError)):
            future.result(timeout=0)


def test_a_closed_pool_takes_nothing_more():
    pool = pool_of()
    pool.shutdown()
    with pytest.raises(RuntimeError, match="closed"):
        pool.submit(abs, -1)


ORPHANING = """
import os, sys, time
from railwright.commands.bounded_pool import BoundedPool
if __name__ == "__main__":
    pool = BoundedPool(1, 600.0, 300 * 2**20, "json")
    print(pool.submit(os.getpid).result(), flush=True)
    pool.submit(time.sleep, 600)
    time.sleep(600)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="asks for a process by its number, which ends one on Windows")
def test_a_worker_ends_with_whoever_started_it_whatever_it_is_doing(tmp_path):
    script = tmp_path / "orphaning.py"
    script.write_text(ORPHANING)
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    with subprocess.Popen([sys.executable, str(script)], env=environment, stdout=subprocess.PIPE, text=True) as parent:
        assert parent.stdout is not None
        worker = int(parent.stdout.readline())
        parent.kill()
    until = time.monotonic() + 20
    while time.monotonic() < until and is_alive(worker):
        time.sleep(0.05)
    assert not is_alive(worker)


def is_alive(pid: int) -> bool:
    """Tell whether a process runs; one that ended and was not yet waited for does not."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    stat = Path(f"/proc/{pid}/stat")
    return not stat.exists() or stat.read_text().rpartition(")")[2].split()[0] != "Z"
