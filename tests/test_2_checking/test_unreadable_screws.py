import pytest

from helpers_checking import found, sound_survey, typed


@pytest.mark.parametrize("entry", ["one on the left", "7; 7", "7.5", "7; 99"])
def test_what_is_no_list_of_screws(entry):
    assert found(typed(sound_survey(), "s4_screws", entry), "unreadable_screws") == ["s4_screws"]


@pytest.mark.parametrize("entry", ["none", "7; 11", "0", 7])
def test_lists_and_none_are_quiet(entry):
    assert found(typed(sound_survey(), "s4_screws", entry), "unreadable_screws") == []
