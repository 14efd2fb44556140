"""Share calls out to the workers of an executor, and tell the loss of one from the end of all."""

from __future__ import annotations

import pickle
import zlib
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, TypeVar

T = TypeVar("T")

#: The quickest: what is packed is unpacked once and soon.
_LEVEL = 1


@dataclass(frozen=True, slots=True)
class Lost:
    """A call that came to nothing, and why, as half a sentence after "it"; ``too_much`` where it met a bound."""

    words: str
    too_much: bool


def share_out(
    function: Callable[..., T], rows: Iterable[tuple[Any, ...]], executor: Executor | None
) -> Iterator[T | Lost]:
    """Call a function once a row, over an executor's workers or here; the executor begins at once.

    Args:
        function: of a module, so that it can travel.
        rows: the arguments of each call.
        executor: any ``concurrent.futures`` executor; ``None`` calls here, when the result is asked for.

    Returns:
        The results in the order of the rows. What a call raises is raised here, but for a call that met a bound of
        time or memory or whose worker died: that one is lost alone.
    """
    if executor is None:
        return (_outcome(lambda row=row: function(*row)) for row in rows)  # type: ignore[misc]
    return _in_order(deque(executor.submit(function, *row) for row in rows))


def _in_order(futures: deque[Future[T]]) -> Iterator[T | Lost]:
    try:
        while futures:
            yield _outcome(futures.popleft().result)
    finally:
        for future in futures:
            future.cancel()


def _outcome(call: Callable[[], T]) -> T | Lost:
    try:
        return call()
    except (TimeoutError, ChildProcessError) as trouble:
        if trouble.errno is not None:  # the system's own, of a disk or a network
            raise
        return Lost(str(trouble).removeprefix("it "), isinstance(trouble, TimeoutError))
    except MemoryError:
        return Lost("needed more memory than a survey ever does", too_much=True)


def packed(value: object) -> bytes:
    """Make a value small, to travel or to wait."""
    return zlib.compress(pickle.dumps(value, pickle.HIGHEST_PROTOCOL), _LEVEL)


def unpacked(content: bytes) -> Any:
    """Give back what was packed by this program a moment ago; never call it on anything from outside."""
    return pickle.loads(zlib.decompress(content))


@lru_cache(maxsize=1)
def unpacked_once(content: bytes) -> Any:
    """Do the same for what is sent with every call: a worker unpacks it once."""
    return unpacked(content)
