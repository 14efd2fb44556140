"""A pool of worker processes in which one task can cost no more than itself.

The executors of the standard library wait for ever for a task that hangs, and give up the whole pool when a worker
dies. Here a task that takes too long is ended with its worker, and one whose worker dies is told; the next task gets a
new worker.
"""

from __future__ import annotations

import pickle
import time
from collections import deque
from collections.abc import Callable, Iterable
from concurrent.futures import Executor, Future
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from threading import Lock, Thread
from typing import Any, ParamSpec, TypeVar

from railwright.commands.worker_process import READY, serve

P = ParamSpec("P")
T = TypeVar("T")

#: A worker that is not ready by then never will be.
START_SECONDS = 120.0

#: So many workers in a row may end before they are ready; then something is wrong with all of them.
STARTS = 3


@dataclass(slots=True)
class _Task:
    future: Future[Any]
    call: tuple[Callable[..., Any], tuple[Any, ...], dict[str, Any]]


@dataclass(slots=True)
class _Worker:
    process: BaseProcess
    line: Connection
    until: float
    ready: bool = False
    task: _Task | None = None

    def end(self) -> None:
        self.process.kill()
        self.line.close()
        self.process.join()


class BoundedPool(Executor):
    """Worker processes with a limit of time and memory for each task.

    A future raises ``TimeoutError`` for a task that took too long, ``ChildProcessError`` for one whose worker died,
    ``MemoryError`` for one that met the bound of memory, ``OSError`` where no worker can be started at all, and else
    what the task itself raised.
    """

    def __init__(
        self, workers: int, seconds: float, memory_bytes: int, prepare: str, tasks_for_one_more: int = 1
    ) -> None:
        """Start the pool with one worker; more follow when there is work for them.

        Args:
            workers: how many processes at most.
            seconds: what one task may take.
            memory_bytes: room for one task beside the program itself, where the system can be told so.
            prepare: the module that tasks need; a worker imports it before its first task.
            tasks_for_one_more: so many waiting tasks are worth the start of another worker.
        """
        self._seconds, self._settings = seconds, (prepare, memory_bytes)
        self._most, self._tasks_for_one_more = workers, tasks_for_one_more
        self._context = get_context("spawn")
        self._tasks: deque[_Task] = deque()
        self._workers: list[_Worker] = []
        self._failed_starts = 0
        self._closing = self._stopping = self._rung = False
        self._lock = Lock()
        self._bell, self._ring = self._context.Pipe(duplex=False)
        self._manager = Thread(target=self._manage, name="bounded pool", daemon=True)
        self._manager.start()

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        """Queue one call; function, arguments and result travel between processes.

        Args:
            fn: a function of a module.
            *args: its arguments.
            **kwargs: its keywords.

        Returns:
            The future of its result.

        Raises:
            RuntimeError: the pool is closed.
        """
        future: Future[T] = Future()
        with self._lock:
            if self._closing:
                raise RuntimeError("the pool is closed")
            self._tasks.append(_Task(future, (fn, args, kwargs)))
            self._call_manager()
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Take no more tasks, and end the workers when those taken are done.

        Args:
            wait: return only then.
            cancel_futures: give up the tasks that no worker has begun.
        """
        self._close(cancel_futures)
        if wait:
            self._manager.join()

    def stop(self) -> None:
        """End every worker at once, whatever it is doing."""
        self._stopping = True
        self._close(cancel=True)
        self._manager.join()

    def _close(self, cancel: bool) -> None:
        with self._lock:
            given_up = list(self._tasks) if cancel else []
            if cancel:
                self._tasks.clear()
            if self._manager.is_alive():
                self._closing = True
                self._call_manager()
        for task in given_up:
            task.future.cancel()

    def _call_manager(self) -> None:
        """Wake the manager; one call is enough however often, so that the line to it can never be full."""
        if not self._rung:
            self._rung = True
            self._ring.send_bytes(b".")

    def _manage(self) -> None:
        try:
            self._start_worker()
            while not self._is_over():
                self._hand_out()
                self._listen()
                self._end_the_overdue()
        except Exception as fault:
            self._fail_all(fault)
        finally:
            with self._lock:
                self._closing = True
            for worker in self._workers:
                _settle(worker.task, ChildProcessError("its worker process was ended"))
                worker.end()

    def _is_over(self) -> bool:
        with self._lock:
            idle = not self._tasks and all(worker.task is None for worker in self._workers)
            return self._stopping or (self._closing and idle)

    def _hand_out(self) -> None:
        """Give a task to every free worker, and start another while so many tasks wait that it is worth it."""
        for worker in [worker for worker in self._workers if worker.ready and worker.task is None]:
            if (task := self._next_task()) is not None:
                self._give(task, worker)
        if waiting := len(self._tasks):
            wanted = min(self._most, max(1, waiting // self._tasks_for_one_more))
            for _ in range(wanted - len(self._workers)):
                self._start_worker()

    def _next_task(self) -> _Task | None:
        with self._lock:
            while self._tasks:
                task = self._tasks.popleft()
                if task.future.set_running_or_notify_cancel():
                    return task
        return None

    def _give(self, task: _Task, worker: _Worker) -> None:
        try:
            message = pickle.dumps(task.call, pickle.HIGHEST_PROTOCOL)
        except Exception as fault:  # a call that cannot travel is the caller's mistake, told where its result is asked
            task.future.set_exception(fault)
            return
        worker.task, worker.until = task, time.monotonic() + self._seconds
        try:
            worker.line.send_bytes(message)
        except OSError:
            self._lost(worker)

    def _start_worker(self) -> None:
        ours, theirs = self._context.Pipe()
        process = self._context.Process(target=serve, args=(theirs, *self._settings), daemon=True)
        process.start()
        theirs.close()
        self._workers.append(_Worker(process, ours, time.monotonic() + START_SECONDS))

    def _listen(self) -> None:
        """Wait for a message, a call for attention, or the next end of somebody's time."""
        ends = [worker.until for worker in self._workers if worker.task or not worker.ready]
        timeout = max(0.0, min(ends) - time.monotonic()) if ends else None
        heard = wait([self._bell, *(worker.line for worker in self._workers)], timeout)
        if self._bell in heard:
            with self._lock:
                self._bell.recv_bytes()
                self._rung = False
        for worker in [worker for worker in self._workers if worker.line in heard]:
            self._hear(worker)

    def _hear(self, worker: _Worker) -> None:
        try:
            message = worker.line.recv_bytes()
        except (EOFError, OSError):
            self._lost(worker)
            return
        if not worker.ready:
            assert message == READY
            worker.ready, self._failed_starts = True, 0
            return
        task, worker.task = worker.task, None
        _settle(task, *_outcome(message))

    def _lost(self, worker: _Worker) -> None:
        """Tell that a worker died with its task, and let go of it."""
        worker.process.join(1.0)  # its own status, not that of being ended here
        self._let_go(worker)
        code = worker.process.exitcode
        _settle(worker.task, ChildProcessError(f"its worker process ended (status {code})"))

    def _end_the_overdue(self) -> None:
        now = time.monotonic()
        for worker in [worker for worker in self._workers if now >= worker.until]:
            if worker.ready and worker.task is None:
                continue
            self._let_go(worker)
            _settle(worker.task, TimeoutError(f"it took longer than {self._seconds:g} seconds"))

    def _let_go(self, worker: _Worker) -> None:
        self._workers.remove(worker)
        worker.end()
        if not worker.ready:
            self._failed_starts += 1
            if self._failed_starts >= STARTS:
                raise OSError(f"worker processes cannot be started (status {worker.process.exitcode})")

    def _fail_all(self, fault: Exception) -> None:
        with self._lock:
            self._closing = True
            tasks = [*self._tasks, *(worker.task for worker in self._workers)]
            self._tasks.clear()
        for worker in self._workers:
            worker.task = None
        for task in tasks:
            _settle(task, fault)


def _outcome(message: bytes) -> Iterable[Any]:
    """Read what a worker sent: the exception or ``None``, and the value."""
    try:
        done, value = pickle.loads(message)
    except Exception as fault:  # a result that cannot be read here is that task's fault, not the pool's
        return (fault,)
    return (None, value) if done else (value,)


def _settle(task: _Task | None, fault: BaseException | None, value: Any = None) -> None:
    if task is None or task.future.done():
        return
    if not task.future.running() and not task.future.set_running_or_notify_cancel():
        return
    if fault is None:
        task.future.set_result(value)
    else:
        task.future.set_exception(fault)
