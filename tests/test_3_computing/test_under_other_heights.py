"""A section fitted again under other heights from what is known of it comes out as fitted from nothing."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import railwright.computing.outcome as module
from fit_samples import bass, segments, survey, tenor, treble
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.heights import heights_of
from railwright.computing.judging import conflicts_of
from railwright.computing.outcome import Outcome, outcome_of
from railwright.computing.segment import Segment, with_heights

BOOK = default_shop_book()
GAUGED = treble(dampers=12, notes=12, gauge=3 / 8, rest=3 / 8)
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
    chosen = design and (design.option, design.places, design.base_shim_mm, design.lift_mm, design.cost, design.proven)
    return outcome.miss, outcome.certain, outcome.guarded, chosen, conflicts_of(outcome)


def assert_same(segment: Segment, before: Outcome) -> None:
    again, anew = outcome_of(segment, BOOK, before=before), outcome_of(segment, BOOK)
    assert told(again) == told(anew)
    if anew.design is not None:
        assert again.design is not None
        np.testing.assert_array_equal(again.design.off_mm, anew.design.off_mm)


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
    as_read = module.outcome_as_read
    monkeypatch.setattr(module, "outcome_as_read", lambda *given: called.append(1) or as_read(*given))
    outcome_of(moved(first, gauge_low=-less, gauge_high=-less), BOOK, before=before)
    assert bool(called) is searched
