import pytest

from helpers_checking import changed, found, message, sound_survey


def test_what_is_left_for_the_undamped_notes():
    """22 notes of 12 to 15.5 mm beyond 329 mm, less one head of 9.5 mm at the least, 1 mm for rounding."""
    for reach_mm, fields in ((582.0, ["top_reach"]), (583.0, []), (671.0, []), (672.0, ["top_reach"])):
        assert found(changed(sound_survey(), top_reach_mm=reach_mm), "implausible_reach") == fields


def test_the_number_of_undamped_notes_is_told():
    assert "The reach covers 22 notes above the last damper" in message(
        changed(sound_survey(), top_reach_mm=900.0), "implausible_reach"
    )


def test_a_reach_below_the_span_is_left_to_its_own_rule():
    assert found(changed(sound_survey(), top_reach_mm=200.0), "implausible_reach") == []


@pytest.mark.parametrize("name", ["top_reach_mm", "s4_span_mm", "s2_dampers"])
def test_with_a_missing_reading_nothing_is_said(name):
    survey = changed(changed(sound_survey(), top_reach_mm=900.0), **{name: None})
    assert found(survey, "implausible_reach") == []
