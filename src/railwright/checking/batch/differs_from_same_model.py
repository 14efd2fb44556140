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
    """Yield a hit where a piano is like others of its model but for the count of one section.

    Pianos that differ in several sections are another design. The smaller party is asked; where both are as large,
    both are.
    """
    for survey, others in same(surveys, _design):
        own = _counts(survey)
        built_alike = Counter(_counts(other) for other in others)
        near = [(times, counts) for counts, times in built_alike.items() if _odd_sections(own, counts)]
        times, counts = max(near, default=(0, own))
        if times > built_alike[own]:
            (place,) = _odd_sections(own, counts)
            yield _hit(survey, place, counts[place], [other for other in others if _counts(other) == counts])


def _design(survey: Survey) -> tuple[str, str, int] | None:
    """Group pianos of one model whose counts are all known and whose sections are as many."""
    known = bool(survey.sections) and all(section.dampers is not None for section in survey.sections)
    model = plain(survey.model)
    return (plain(survey.maker), model, len(survey.sections)) if model and known else None


def _counts(survey: Survey) -> tuple[int, ...]:
    return tuple(section.dampers or 0 for section in survey.sections)


def _odd_sections(own: tuple[int, ...], other: tuple[int, ...]) -> list[int]:
    """Give the one place where the counts differ by a miscount; nothing where they are alike or differ by more."""
    places = [place for place, pair in enumerate(zip(own, other, strict=True)) if pair[0] != pair[1]]
    miscounts = [place for place in places if abs(own[place] - other[place]) <= _MISCOUNT]
    return miscounts if len(places) == 1 else []


def _hit(survey: Survey, place: int, usual: int, others: Sequence[Survey]) -> Hit:
    section = survey.sections[place]
    return Hit(
        section.key("dampers"),
        f"expected {usual} as in {files_of(others)}, alike in all else and of the same maker and model, "
        f"found {section.dampers}. Count again, or confirm that this piano differs.",
        survey.file,
    )
