"""A reading stands for every length that rounds to it."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers_checking import changed, sound_survey
from railwright.checking.plausible import implausible, is_outside
from railwright.survey.lengths import round_to_step


@pytest.mark.parametrize(("mm", "outside"), [(9.4, True), (9.5, False), (20.5, False), (20.6, True)])
def test_outside_begins_half_a_step_beyond(mm, outside):
    assert is_outside(sound_survey(), "s2_span", mm, 10.0, 20.0) is outside


@given(true_mm=st.floats(10.0, 20.0), step=st.sampled_from([0.5, 1.0, 25.4 / 32, 25.4 / 16, 25.4 / 8]))
def test_no_plausible_length_reads_as_implausible(true_mm, step):
    survey = replace(sound_survey(), step_mm=step)
    reading = round_to_step(true_mm, step)
    assert not is_outside(survey, "s2_span", reading + 1e-9 * (15.0 - reading), 10.0, 20.0)


def test_a_blank_is_not_implausible():
    assert list(implausible(sound_survey(), "s2_span", None, 10.0, 20.0, "Measure again.")) == []


def test_the_sentence_says_what_was_expected_and_found():
    (hit,) = implausible(changed(sound_survey(), unit="mm"), "s2_span", 30.0, 10.0, 20.0, "Measure again.")
    assert hit.message == "expected 10 to 20 mm, found 30.0 mm. Measure again."
