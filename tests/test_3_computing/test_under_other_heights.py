"""A section fitted again under other heights from what is known of it comes out as fitted from nothing."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import railwright.computing.outcome as module
from fit_samples import bass, segments, survey, tenor, treble
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.heights import heights_of
from railwright.computing.judging import conflicts_of
from railwright.computing.outcome import Outcome, outcome_again, outcome_of
from railwright.computing.segment import Segment, with_heights

BOOK = default_shop_book()
GAUGED = treble(dampers=12, notes=12, gauge=3 / 8, rest=3 / 8)
DOUBTS = {
    "stack_within_doubt",
    "lift_doubt_beyond_trim",
    "end_room_unread",
    "side_rests_on_default",
    "notch_rests_on_default",
    "rest_gaps_in_doubt",
    "choice_not_proven",
    "misfit_not_proven",
    "rest_gaps_eased",
}
"""What may be said of a section that is not on hold."""
READ = treble(dampers=12, notes=12, gauge=None, rest=3 / 8)


def segment_of_treble(part) -> Segment:
    return segments(survey(bass(), tenor(), part), BOOK)[2]


def moved(segment: Segment, **by_mm: float) -> Segment:
    """The same segment with some of its readings of height changed."""
    section = segment.section
    changed = {f"{name}_mm": getattr(section, f"{name}_mm") + by for name, by in by_mm.items()}
    section = dataclasses.replace(section, **changed)
    heights = heights_of(section, survey(bass(), tenor(), section), BOOK)
    return with_heights(dataclasses.replace(segment, section=section), heights, BOOK)


def told(outcome: Outcome) -> tuple[object, ...]:
    design = outcome.design
    assert design is not None
    chosen = (design.option, design.places, design.base_shim_mm, design.lift_mm, design.cost, design.proven)
    return outcome.certain, outcome.guarded, outcome.easing, chosen, design.off_mm.tolist(), conflicts_of(outcome)


def assert_same(segment: Segment, before: Outcome) -> None:
    again, anew = outcome_again(segment, before), outcome_of(segment, BOOK)
    assert bool(again.miss) == bool(anew.miss)
    if not anew.miss:
        assert told(again) == told(anew)
    else:
        assert again.certain == anew.certain
        assert not {conflict.rule for conflict in conflicts_of(anew)} <= DOUBTS


@settings(max_examples=25)
@given(low=st.floats(-4.0, 3.0), high=st.floats(-4.0, 3.0))
def test_other_clear_gauges(low, high):
    first = segment_of_treble(GAUGED)
    assert_same(moved(first, gauge_low=low, gauge_high=high), outcome_of(first, BOOK))


@settings(max_examples=25)
@given(low=st.floats(-3.0, 3.0), high=st.floats(-3.0, 3.0))
@pytest.mark.parametrize("part", [GAUGED, READ])
def test_other_gaps_at_rest(part, low, high):
    first = segment_of_treble(part)
    assert_same(moved(first, rest_low=low, rest_high=high), outcome_of(first, BOOK))


def spare_mm(outcome: Outcome) -> float:
    """Height that the parts of an untilted section leave under the strings."""
    assert outcome.limits is not None
    assert outcome.design is not None
    return outcome.limits.highest_mm - outcome.design.option.stack_mm - outcome.design.base_shim_mm


@pytest.mark.parametrize(("beyond_mm", "searched"), [(-0.01, False), (0.01, True)])
def test_parts_that_still_fit_are_not_searched_for_again(beyond_mm, searched, monkeypatch):
    first = segment_of_treble(GAUGED)
    before = outcome_of(first, BOOK)
    less = spare_mm(before) + beyond_mm
    called = []
    cheapest = module.cheapest
    monkeypatch.setattr(module, "cheapest", lambda *given: called.append(1) or cheapest(*given))
    outcome_again(moved(first, gauge_low=-less, gauge_high=-less), before)
    assert bool(called) is searched
