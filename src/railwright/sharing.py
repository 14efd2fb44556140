"""Share calls out to the workers of an executor, and tell the loss of one from the end of all."""

from __future__ import annotations

import pickle
import zlib
from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import Executor, Future, wait
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, SupportsBytes, TypeVar

T = TypeVar("T")

#: The quickest: what is packed is unpacked once and soon.
_LEVEL = 1


@dataclass(frozen=True, slots=True)
class Lost:
    """A call that came to nothing, and why, as half a sentence after "it"; ``too_much`` where it met a bound."""

    words: str
    too_much: bool


class Outcomes(Iterator[T | Lost]):
    """What calls come to, one after the other in the order of their rows."""

    def __init__(self, futures: Iterable[Future[T]]) -> None:
        """Take the calls over.

        Args:
            futures: the calls, under way already.
        """
        self._futures = deque(futures)

    def __next__(self) -> T | Lost:
        """Wait for the next one; what it raises is raised here, unless it is lost alone."""
        if not self._futures:
            raise StopIteration
        outcome = _outcome(self._futures[0].result)
        self._futures.popleft()  # not before: whoever stops waiting still has to close it
        return outcome

    def close(self) -> None:
        """Give up the calls that nobody has begun and wait for the others: afterwards nobody works any more."""
        wait([future for future in self._futures if not future.cancel()])


def share_out(
    function: Callable[..., T], rows: Iterable[tuple[Any, ...]], executor: Executor | None
) -> Outcomes[T] | Generator[T | Lost, None, None]:
    """Call a function once a row, over an executor's workers or here; the executor begins at once.

    Args:
        function: of a module, so that it can travel.
        rows: the arguments of each call.
        executor: any ``concurrent.futures`` executor; ``None`` calls here, when the result is asked for.

    Returns:
        The results in the order of the rows. What a call raises is raised here, but for a call that met a bound of
        time or memory or whose worker died: that one is lost alone. To be closed when it is left early.
    """
    if executor is None:
        return (_outcome(lambda row=row: function(*row)) for row in rows)  # type: ignore[misc]
    return Outcomes([executor.submit(function, *row) for row in rows])


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


def unpacked(content: SupportsBytes) -> Any:
    """Give back what was packed by this program a moment ago; never call it on anything from outside."""
    return pickle.loads(zlib.decompress(bytes(content)))


@lru_cache(maxsize=1)
def unpacked_once(content: bytes) -> Any:
    """Do the same for what is sent with every call: a worker unpacks it once."""
    return unpacked(content)
