import pytest

from helpers_checking import found, sound_survey, typed


@pytest.mark.parametrize("entry", [12.5, -1, "12 1/2"])
def test_what_cannot_be_counted(entry):
    survey = typed(sound_survey(), "s2_dampers", entry)
    assert found(survey, "not_a_whole_number") == ["s2_dampers"]


@pytest.mark.parametrize("entry", [0, 12, 12.0, "12"])
def test_whole_numbers_are_quiet(entry):
    assert found(typed(sound_survey(), "s2_dampers", entry), "not_a_whole_number") == []
