import pytest

from helpers_checking import IN, changed, findings, found, in_inches, message, sound_survey


@pytest.mark.parametrize("end", ["low", "high"])
def test_a_block_thicker_than_the_gap_cannot_have_passed(end):
    survey = changed(sound_survey(), **{f"s2_gauge_{end}_mm": 20.5, f"s2_rest_{end}_mm": 20.0})
    assert found(survey, "gauge_above_rest") == [f"s2_rest_{end}"]


def test_it_cannot_be_whether_by_one_step_or_many():
    for rest_mm in (15.0, 10.0):
        survey = changed(sound_survey(), s2_gauge_low_mm=16.0, s2_rest_low_mm=rest_mm)
        assert findings(survey, "gauge_above_rest")[0].severity == "fix"


def test_what_rounding_to_the_step_explains_is_to_be_confirmed():
    """A gap of 6.4 mm reads 6 mm, and a block of 1/4 in passes under it."""
    survey = changed(sound_survey(), s4_gauge_low_mm=IN / 4, s4_rest_low_mm=6.0)
    assert findings(survey, "gauge_above_rest")[0].severity == "confirm"


def test_a_block_as_thick_as_the_gap_is_quiet():
    survey = changed(sound_survey(), s4_gauge_high_mm=IN / 4, s4_rest_high_mm=6.35)
    assert found(survey, "gauge_above_rest") == []


def test_one_of_the_two_alone_is_quiet():
    assert found(changed(sound_survey(), s2_gauge_low_mm=None, s2_rest_low_mm=5.0), "gauge_above_rest") == []


def test_inches_are_told_as_inches():
    survey = changed(in_inches(sound_survey()), s2_gauge_low_mm=IN * 5 / 8, s2_rest_low_mm=IN / 2)
    assert "5/8 in (15.9 mm), found 1/2 in (12.7 mm)" in message(survey, "gauge_above_rest")
