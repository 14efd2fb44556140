from datetime import date

import pytest

from helpers_checking import found, message, sound_survey, typed


def test_a_serial_number_that_became_a_day():
    survey = typed(sound_survey(), "serial", date(2031, 3, 8))
    assert found(survey, "date_in_text_cell") == ["serial"]
    assert "Format the cell as text" in message(survey, "date_in_text_cell")


@pytest.mark.parametrize("entry", ["3-8", 20417, "B 20417"])
def test_text_and_plain_numbers_are_quiet(entry):
    assert found(typed(sound_survey(), "serial", entry), "date_in_text_cell") == []
