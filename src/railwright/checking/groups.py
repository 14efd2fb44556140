"""Find surveys of one folder that share an answer."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence

from railwright.survey.records import Survey


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
