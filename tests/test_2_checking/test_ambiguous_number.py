import pytest

from helpers_checking import found, message, sound_survey, typed


def test_a_comma_that_may_part_thousands():
    survey = typed(sound_survey(), "cable_run", "1,234")
    assert found(survey, "ambiguous_number") == ["cable_run"]
    assert "1.234 mm or 1234 mm" in message(survey, "ambiguous_number")


@pytest.mark.parametrize("entry", ["1234", "1234,5", "123,4"])
def test_numbers_that_can_be_read_in_one_way_are_quiet(entry):
    assert found(typed(sound_survey(), "cable_run", entry), "ambiguous_number") == []
