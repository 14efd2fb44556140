import pytest

from helpers_checking import changed, found, sound_survey


def test_five_screws_in_a_section():
    survey = changed(sound_survey(), s4_screws=(3, 7, 11, 15, 19))
    assert found(survey, "too_many_screws") == ["s4_screws"]


@pytest.mark.parametrize("screws", [(3, 7, 11, 15), (), None])
def test_up_to_four_are_quiet(screws):
    assert found(changed(sound_survey(), s4_screws=screws), "too_many_screws") == []
