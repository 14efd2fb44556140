import pytest

from helpers_checking import changed, found, sound_survey


@pytest.mark.parametrize("number", [2, 4])
def test_singles_in_the_tenor_or_treble(number):
    survey = changed(sound_survey(), **{f"s{number}_singles": 1})
    assert found(survey, "singles_above_bass") == [f"s{number}_singles"]


@pytest.mark.parametrize("singles", [0, None])
def test_none_counted_is_quiet(singles):
    assert found(changed(sound_survey(), s2_singles=singles), "singles_above_bass") == []


def test_singles_in_the_bass_are_quiet():
    assert found(changed(sound_survey(), s1_singles=12, s1_doubles=8), "singles_above_bass") == []
