import pytest

from helpers_checking import IN, changed, found, in_inches, sound_survey


@pytest.mark.parametrize("end", ["low", "high"])
def test_no_string_swings_so_far(end):
    """Widest swing 10 mm, one block step of 1/16 in and half a reading step: 12.0875 mm."""
    survey = changed(sound_survey(), **{f"s2_gauge_{end}_mm": 8.0, f"s2_rest_{end}_mm": 20.1})
    assert found(survey, "gauge_far_below_rest") == [f"s2_gauge_{end}"]


def test_just_as_far_as_it_may_is_quiet():
    survey = changed(sound_survey(), s2_gauge_low_mm=8.0, s2_rest_low_mm=20.0)
    assert found(survey, "gauge_far_below_rest") == []


def test_an_ordinary_bass_is_quiet():
    survey = changed(in_inches(sound_survey()), s1_gauge_low_mm=IN * 5 / 8, s1_rest_low_mm=IN * 7 / 8)
    assert found(survey, "gauge_far_below_rest") == []
