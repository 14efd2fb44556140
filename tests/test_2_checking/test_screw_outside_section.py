import pytest

from helpers_checking import changed, found, message, sound_survey


def test_more_heads_above_a_screw_than_there_are():
    survey = changed(sound_survey(), s4_screws=(7, 25))
    assert found(survey, "screw_outside_section") == ["s4_screws"]
    assert "at most 24 heads" in message(survey, "screw_outside_section")


@pytest.mark.parametrize("screws", [(0,), (24,), (), None])
def test_all_heads_or_none_above_a_screw_are_possible(screws):
    assert found(changed(sound_survey(), s4_screws=screws), "screw_outside_section") == []


def test_without_a_count_nothing_is_said():
    assert found(changed(sound_survey(), s4_screws=(25,), s4_dampers=None), "screw_outside_section") == []
