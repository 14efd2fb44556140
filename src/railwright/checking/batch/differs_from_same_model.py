"""A section has a damper more or less than the same model elsewhere in the folder."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from railwright.checking.base import Hit, Rule
from railwright.checking.groups import files_of, plain, same
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="Pianos of one maker and model whose sections differ by one or two dampers.",
    why="Pianos of one model are built alike, so one of the counts is probably a slip.",
    do="Count the dampers of this section again, or confirm that this piano differs.",
)

#: Counts further apart than this are another design of the model, not a miscount.
_MISCOUNT = 2


def check(surveys: Sequence[Survey]) -> Iterator[Hit]:
    """Yield a hit for each count that lies a little off what most others of the model have."""
    for survey, others in same(surveys, _design):
        for place, section in enumerate(survey.sections):
            counts = Counter(each.sections[place].dampers or 0 for each in (survey, *others))
            usual = _usual(counts)
            if usual != section.dampers and any(0 < abs(c - (section.dampers or 0)) <= _MISCOUNT for c in counts):
                yield _hit(survey, section.key("dampers"), place, others)


def _design(survey: Survey) -> tuple[str, str, int] | None:
    """Group pianos of one model whose counts are all known and whose sections are as many."""
    known = bool(survey.sections) and all(section.dampers is not None for section in survey.sections)
    model = plain(survey.model)
    return (plain(survey.maker), model, len(survey.sections)) if model and known else None


def _usual(counts: Counter[int]) -> int | None:
    """Give the count that more than half of the pianos have, ``None`` where none has such a majority."""
    count, times = counts.most_common(1)[0]
    return count if 2 * times > counts.total() else None


def _hit(survey: Survey, key: str, place: int, others: Sequence[Survey]) -> Hit:
    own = survey.sections[place].dampers
    unlike = [other for other in others if other.sections[place].dampers != own]
    theirs = " or ".join(str(count) for count in sorted({other.sections[place].dampers or 0 for other in unlike}))
    return Hit(
        key,
        f"expected {theirs} as in {files_of(unlike)}, which is of the same maker and model, found {own}. "
        "Count again, or confirm that this piano differs.",
        survey.file,
    )
