import pytest

from helpers_checking import found, sound_survey, typed


@pytest.mark.parametrize("entry", ["51 m", 60000, "12'"])
def test_a_length_that_no_piano_has(entry):
    assert found(typed(sound_survey(), "s2_span", entry), "impossible_length") == ["s2_span"]


def test_a_slip_of_the_unit_is_left_to_the_rules_that_name_it():
    assert found(typed(sound_survey(), "s2_span", 24999), "impossible_length") == []
