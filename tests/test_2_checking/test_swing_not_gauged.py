import pytest

from helpers_checking import changed, found, message, sound_survey, typed


@pytest.mark.parametrize("number", [1, 2])
def test_measured_at_rest_only(number):
    survey = changed(sound_survey(), **{f"s{number}_gauge_low_mm": None})
    assert found(survey, "swing_not_gauged") == [f"s{number}_gauge_low"]


def test_the_swing_taken_instead_is_told():
    assert "usual swing of 4 mm" in message(changed(sound_survey(), s1_gauge_high_mm=None), "swing_not_gauged")


def test_in_the_treble_a_gap_at_rest_suffices():
    survey = changed(sound_survey(), s4_gauge_low_mm=None, s4_gauge_high_mm=None)
    assert found(survey, "swing_not_gauged") == []


def test_without_a_gap_at_rest_the_missing_reading_is_told_instead():
    survey = changed(sound_survey(), s2_gauge_low_mm=None, s2_rest_low_mm=None)
    assert found(survey, "swing_not_gauged") == []


def test_a_gauge_that_cannot_be_read_is_left_to_its_own_rule():
    assert found(typed(sound_survey(), "s1_gauge_low", "some"), "swing_not_gauged") == []
