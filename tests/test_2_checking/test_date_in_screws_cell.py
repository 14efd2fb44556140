from datetime import date

import pytest

from helpers_checking import found, message, sound_survey, typed


def test_a_list_of_screws_that_became_a_day_is_told_with_both_readings():
    survey = typed(sound_survey(), "s4_screws", date(2031, 7, 11))
    assert found(survey, "date_in_screws_cell") == ["s4_screws"]
    assert "7; 11" in message(survey, "date_in_screws_cell")


@pytest.mark.parametrize("entry", ["7; 11", "7, 11", 7, "none"])
def test_lists_as_asked_for_are_quiet(entry):
    assert found(typed(sound_survey(), "s4_screws", entry), "date_in_screws_cell") == []
