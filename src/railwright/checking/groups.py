"""Find surveys of one folder that share an answer."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence

from railwright.checking.words import listed
from railwright.survey.kind import plain
from railwright.survey.records import Survey

__all__ = ["files_of", "plain", "same"]


def same(surveys: Sequence[Survey], key: Callable[[Survey], object | None]) -> Iterator[tuple[Survey, list[Survey]]]:
    """Yield each survey that shares a key with others, and those others; a key of ``None`` is shared with nobody."""
    groups: dict[object, list[Survey]] = defaultdict(list)
    for survey in surveys:
        if (value := key(survey)) is not None:
            groups[value].append(survey)
    for group in groups.values():
        for survey in group:
            if others := [other for other in group if other is not survey]:
                yield survey, others


def files_of(surveys: Sequence[Survey]) -> str:
    """Name the files of some surveys inside a sentence."""
    return listed([survey.file for survey in surveys])
