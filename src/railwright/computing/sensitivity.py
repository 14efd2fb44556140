"""Which reading decides, and by how much it would have to differ for the outcome to turn."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from itertools import pairwise, product
from typing import NamedTuple

from railwright.book.model import ShopBook
from railwright.computing.choice import MOST_STRINGS
from railwright.computing.heights import heights_of, highest_stack
from railwright.computing.judging import conflicts_of
from railwright.computing.notes_of_sections import notes_of, top_damped
from railwright.computing.outcome import Outcome, outcome_again, outcome_of
from railwright.computing.results import Conflict, SectionResult, Spacing, Turn
from railwright.computing.segment import segment_of, with_heights
from railwright.computing.spacing import placed
from railwright.survey.findings import State
from railwright.survey.records import SectionSurvey, Survey

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
_APART = _REMARKS | {"reach_reckoned", "section_test_weak", "readings_disagree", "implausible_pitch"}
"""Conflicts that leave the parts of a section as they are."""
_PRECISION_MM = 0.01
_BY_READING: Mapping[str, tuple[str, ...]] = {
    "stack_too_tall": (),
    "stack_within_doubt": (),
    "end_without_room": (),
    "lift_beyond_cranks": ("rest_low", "rest_high"),
    "felt_out_of_range": ("rest_low", "rest_high"),
    "shims_too_high": ("rest_low", "rest_high"),
    "rest_gaps_in_doubt": ("rest_low", "rest_high"),
    "rest_gaps_too_uneven": ("rest_low", "rest_high"),
}
"""Conflicts of heights and ends, with the readings that turn them besides the one that each names."""
_NEAR_MM = 3.2
"""How far a reading is followed for the results: 1/8 in, the coarsest step that a tape is read to."""
_NEAR_STEPS = 3
_NEAR_PRECISION_MM = 0.1
_TIGHT_MM = 1.6
"""A released section with less than this to spare, 1/16 in, says at which reading it would no longer be released."""
_MOST_STRINGS = 100_000
"""A section whose fit looked at more strings of station sets than this is not fitted over and over."""
_MOST_STRINGS_A_FIT = 100_000
"""A changed reading whose fit would have to look at more is not followed any further."""
_MOST_STRINGS_A_TIGHT_FIT = 400_000
"""The same where only a few changes of a reading are tried."""


class Walk(NamedTuple):
    """Where to look along a reading: its name, the changes to try in turn, mm, and how closely to find the turn, mm."""

    name: str
    changes_mm: tuple[float, ...]
    precision_mm: float


def even_walks(names: Sequence[str], reach_mm: float, steps: int, precision_mm: float) -> tuple[Walk, ...]:
    """Walk every reading down and up in even steps."""
    return tuple(
        Walk(name, tuple(sign * reach_mm * i / steps for i in range(1, steps + 1)), precision_mm)
        for name, sign in product(names, (-1.0, 1.0))
    )


def section_state(survey: Survey, number: int, book: ShopBook) -> State:
    """Say how one section's fit would come out by itself: release, confirm or hold.

    Args:
        survey: the instrument.
        number: the section's number.
        book: catalogue and rule values.

    Returns:
        ``hold`` where a reading is missing or nothing fits, ``confirm`` where doubt decides, else ``release``.
    """
    section = _section(survey, number)
    return _state(_outcome(survey, number, placed(section, survey, book), book))


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

    def state(changed: Survey) -> State:
        return section_state(changed, number, book)

    return _turns(survey, number, even_walks(names, reach_mm, 8, _PRECISION_MM), state)


def deciding_turns(
    survey: Survey, result: SectionResult, book: ShopBook, outcome: Outcome | None = None
) -> tuple[Turn, ...]:
    """Find how far a reading that decides a section may be off, within 1/8 in and at little cost.

    Where nothing is in the way, but one end has little to spare, it is how much less that end's height may be.

    Args:
        survey: the instrument.
        result: the section as computed, with its conflicts.
        book: catalogue and rule values.
        outcome: what came of its fit by itself, where that is at hand; else it is fitted again.

    Returns:
        Turns as ``turning_points`` gives them, to 0.1 mm; none where neither heights nor ends are in the way or tight,
        and none where, or from where on, the section takes too long to fit over and over.
    """
    walks, most_strings = even_walks(_deciding(result), _NEAR_MM, _NEAR_STEPS, _NEAR_PRECISION_MM), _MOST_STRINGS_A_FIT
    if not walks:
        walks, most_strings = _tight(survey, result, book), _MOST_STRINGS_A_TIGHT_FIT
    if not walks or result.searched_strings > _MOST_STRINGS:
        return ()

    def state(changed: Survey) -> State:
        # the wires stay where they are: heights and end room do not bear on them
        after = _outcome_after(changed, result, book, most_strings, outcome)
        if after is not None and not after.certain:
            raise _TakesTooLongError
        return _state(after)

    try:
        return _turns(survey, result.section, walks, state, None if outcome is None else _state(outcome))
    except _TakesTooLongError:
        return ()


class _TakesTooLongError(Exception):
    """A fit would have to look at too many station sets."""


def _deciding(result: SectionResult) -> tuple[str, ...]:
    """List the readings that the conflicts of heights and ends of a section name."""
    found = [conflict for conflict in result.conflicts if conflict.rule in _BY_READING and _is_near(conflict)]
    fields = [conflict.field.partition("_")[2] for conflict in found if conflict.field]
    beside = [name for conflict in found for name in _BY_READING[conflict.rule]]
    return tuple(name for name in dict.fromkeys([*fields, *beside]) if name in READINGS)


def _tight(survey: Survey, result: SectionResult, book: ShopBook) -> tuple[Walk, ...]:
    """Walk the free height down at ends where a section that fits has little to spare: to what is spare, then beyond.

    Where lower parts would serve, or the gap at rest moves with the reading, the turn is not just there.
    """
    heights = heights_of(_section(survey, result.section), survey, book)
    if heights is None or result.stack_low_mm is None or result.stack_high_mm is None:
        return ()
    if any(conflict.rule not in _APART for conflict in result.conflicts):
        return ()
    clearance, z_p, near = book.value("rest_clearance"), book.value("z_p"), _NEAR_PRECISION_MM / 2
    walks = []
    for end, stack in ((heights.low, result.stack_low_mm), (heights.high, result.stack_high_mm)):
        spare = highest_stack(end.free_mm, end.u_free_mm, clearance, z_p) - stack
        if spare < _TIGHT_MM:
            changes = (-max(spare - near, 0.0), -spare - near, -_TIGHT_MM)
            walks.append(Walk(end.free_field.partition("_")[2], changes, _NEAR_PRECISION_MM + _PRECISION_MM))
    return tuple(walks)


def _is_near(conflict: Conflict) -> bool:
    """Say whether a reading that is a little off could matter: a lift far beyond the cranks stays so."""
    facts = conflict.facts
    if conflict.rule != "lift_beyond_cranks":
        return True
    return float(facts["least_mm"]) - _NEAR_MM < float(facts["lift_mm"]) < float(facts["most_mm"]) + _NEAR_MM


def _section(survey: Survey, number: int) -> SectionSurvey:
    (section,) = (each for each in survey.sections if each.number == number)
    return section


def _outcome(
    survey: Survey, number: int, spacing: Spacing | None, book: ShopBook, most_strings: int = MOST_STRINGS
) -> Outcome | None:
    """Fit one section by itself; ``None`` where a reading is missing."""
    section, place = _section(survey, number), [each.number for each in survey.sections].index(number)
    notes, top = notes_of(survey)[place], top_damped(survey.sections) == place
    segment = segment_of(section, notes, spacing, top, survey, book)
    return None if segment is None else outcome_of(segment, book, most_strings)


def _outcome_after(
    changed: Survey, result: SectionResult, book: ShopBook, most_strings: int, before: Outcome | None
) -> Outcome | None:
    """Fit one section by itself once more, from what is known of it if nothing but heights has changed."""
    section = _section(changed, result.section)
    if before is None or _without_heights(section) != _without_heights(before.segment.section):
        return _outcome(changed, result.section, result.spacing, book, most_strings)
    heights = heights_of(section, changed, book)
    if heights is None:
        return None
    segment = with_heights(replace(before.segment, section=section), heights, book)
    return outcome_again(segment, before, most_strings)


def _without_heights(section: SectionSurvey) -> SectionSurvey:
    return replace(section, gauge_low_mm=None, gauge_high_mm=None, rest_low_mm=None, rest_high_mm=None)


def _state(outcome: Outcome | None) -> State:
    if outcome is None or outcome.miss:
        return "hold"
    rules = {conflict.rule for conflict in conflicts_of(outcome)} - _REMARKS
    if not rules:
        return "release"
    return "confirm" if rules <= _DOUBTS else "hold"


def _turns(
    survey: Survey,
    number: int,
    walks: Iterable[Walk],
    state: Callable[[Survey], State],
    before: State | None = None,
) -> tuple[Turn, ...]:
    before, found = before or state(survey), []
    for walk in walks:
        with suppress(_TakesTooLongError):
            found.append(_turn(survey, _section(survey, number), before, state, walk))
    turns = [turn for turn in found if turn is not None]
    return tuple(sorted(turns, key=lambda turn: (abs(turn.change_mm), turn.field, turn.change_mm)))


def _turn(
    survey: Survey, section: SectionSurvey, before: State, state: Callable[[Survey], State], walk: Walk
) -> Turn | None:
    """Walk a reading up or down, then halve the step in which the outcome turns."""
    value = getattr(section, f"{walk.name}_mm")
    if value is None:
        return None

    def changed(change: float) -> State:
        return state(_changed(survey, section.number, f"{walk.name}_mm", value + change))

    for same, other in _steps(value, walk.changes_mm):
        after = changed(other)
        if after != before:
            change, after = _halved(changed, (same, other), before, after, walk.precision_mm)
            return Turn(section.key(walk.name), change, before, after)
    return None


def _steps(value: float, changes_mm: Sequence[float]) -> Iterator[tuple[float, float]]:
    """Give neighbouring changes from none on; a reading never falls below nothing."""
    changes = [max(change, -value) for change in (0.0, *changes_mm)]
    return ((a, b) for a, b in pairwise(changes) if a != b)


def _halved(
    state: Callable[[float], State], step: tuple[float, float], before: State, after: State, precision_mm: float
) -> tuple[float, State]:
    same, other = step
    while abs(other - same) > precision_mm:
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
