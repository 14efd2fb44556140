import pytest

from helpers_checking import changed, found, sound_survey


@pytest.mark.parametrize(("number", "end"), [(1, "low"), (2, "high"), (3, "low"), (4, "high")])
def test_a_hole_at_an_end_that_is_not_beside_the_strut(number, end):
    survey = changed(sound_survey(), **{f"s{number}_hole_{end}": True})
    assert found(survey, "hole_away_from_strut") == [f"s{number}_hole_{end}"]


def test_both_sides_of_the_bass_tenor_strut_are_quiet():
    assert found(changed(sound_survey(), s1_hole_high=True, s2_hole_low=True), "hole_away_from_strut") == []


def test_with_two_bass_sections_the_upper_one_lies_beside_the_strut():
    survey = changed(sound_survey(), s2_register="bass")
    assert found(changed(survey, s2_hole_high=True, s3_hole_low=True), "hole_away_from_strut") == []
    assert found(changed(survey, s1_hole_high=True), "hole_away_from_strut") == ["s1_hole_high"]


def test_with_a_blank_register_nothing_is_said():
    survey = changed(sound_survey(), s3_hole_low=True, s2_register=None)
    assert found(survey, "hole_away_from_strut") == []
