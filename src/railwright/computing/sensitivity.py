"""Which reading decides, and by how much it would have to differ for the outcome to turn."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from railwright.book.model import ShopBook
from railwright.computing.judging import conflicts_of
from railwright.computing.notes_of_sections import notes_of, top_damped
from railwright.computing.outcome import outcome_of
from railwright.computing.segment import segment_of
from railwright.computing.spacing import posterior
from railwright.survey.findings import State
from railwright.survey.records import Survey

READINGS = ("gauge_low", "gauge_high", "rest_low", "rest_high", "span", "room_low", "room_high")
"""Readings of a section, all lengths, that its fit hangs on; the field key without the section and without ``_mm``."""

_DOUBTS = frozenset(
    {
        "stack_within_doubt",
        "lift_doubt_beyond_trim",
        "end_room_unread",
        "side_rests_on_default",
        "notch_rests_on_default",
        "rest_gaps_in_doubt",
    }
)
_REMARKS = frozenset({"choice_not_proven", "misfit_not_proven", "rest_gaps_eased"})
_PRECISION_MM = 0.01


@dataclass(frozen=True, slots=True)
class Turn:
    """The least change of one reading at which a section's outcome turns.

    ``field`` is the full field key, ``change_mm`` what must be added to the reading, ``before`` and ``after`` the
    outcomes on either side.
    """

    field: str
    change_mm: float
    before: State
    after: State


def section_state(survey: Survey, number: int, book: ShopBook) -> State:
    """Say how one section's fit would come out by itself: release, confirm or hold.

    Args:
        survey: the instrument.
        number: the section's number.
        book: catalogue and rule values.

    Returns:
        ``hold`` where a reading is missing or nothing fits, ``confirm`` where doubt decides, else ``release``.
    """
    place = [section.number for section in survey.sections].index(number)
    section, top = survey.sections[place], top_damped(survey.sections) == place
    segment = segment_of(section, notes_of(survey)[place], posterior(section, survey, book), top, survey, book)
    if segment is None:
        return "hold"
    rules = {conflict.rule for conflict in conflicts_of(outcome_of(segment, book))} - _REMARKS
    if not rules:
        return "release"
    return "confirm" if rules <= _DOUBTS else "hold"


def turning_points(
    survey: Survey, number: int, book: ShopBook, names: Sequence[str] = READINGS, reach_mm: float = 6.35
) -> tuple[Turn, ...]:
    """Find for every reading of a section how far it may be off before the section's outcome turns.

    Args:
        survey: the instrument.
        number: the section's number.
        book: catalogue and rule values.
        names: which readings to try, out of ``READINGS``.
        reach_mm: how far to look up and down, mm.

    Returns:
        At most one turn upward and one downward for each reading that was taken, the least change first.
    """
    before = section_state(survey, number, book)
    found = [
        turn
        for name in names
        for sign in (-1.0, 1.0)
        if (turn := _turn(survey, number, name, sign * reach_mm, before, book)) is not None
    ]
    return tuple(sorted(found, key=lambda turn: (abs(turn.change_mm), turn.field, turn.change_mm)))


def _turn(survey: Survey, number: int, name: str, reach_mm: float, before: State, book: ShopBook) -> Turn | None:
    """Walk a reading towards the reach in eight steps, then halve the step in which the outcome turns."""
    (section,) = (each for each in survey.sections if each.number == number)
    value = getattr(section, f"{name}_mm")
    if value is None:
        return None

    def state(change: float) -> State:
        return section_state(_changed(survey, number, f"{name}_mm", value + change), number, book)

    for same, other in _steps(value, reach_mm):
        after = state(other)
        if after != before:
            change, after = _halved(state, same, other, before, after)
            return Turn(section.key(name), change, before, after)
    return None


def _steps(value: float, reach_mm: float) -> Iterator[tuple[float, float]]:
    """Give neighbouring changes from none to the reach; a reading never falls below nothing."""
    changes = [max(reach_mm * i / 8, -value) for i in range(9)]
    return ((a, b) for a, b in pairwise(changes) if a != b)


def _halved(
    state: Callable[[float], State], same: float, other: float, before: State, after: State
) -> tuple[float, State]:
    while abs(other - same) > _PRECISION_MM:
        middle = (same + other) / 2
        there = state(middle)
        if there == before:
            same = middle
        else:
            other, after = middle, there
    return other, after


def _changed(survey: Survey, number: int, attribute: str, value: float) -> Survey:
    sections = tuple(
        replace(each, **{attribute: value}) if each.number == number else each  # type: ignore[arg-type]
        for each in survey.sections
    )
    return replace(survey, sections=sections)
