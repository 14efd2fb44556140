from datetime import date

import pytest

from helpers_checking import found, message, sound_survey, typed


@pytest.mark.parametrize("entry", ["next week", "3/4/2031", "2031-02-30", "1931-03-04", "4 March"])
def test_days_that_cannot_be_told(entry):
    assert found(typed(sound_survey(), "survey_date", entry), "unreadable_date") == ["survey_date"]


def test_both_readings_of_a_day_are_told():
    sentence = message(typed(sound_survey(), "survey_date", "3/4/2031"), "unreadable_date")
    assert "2031-04-03 or 2031-03-04" in sentence


@pytest.mark.parametrize("entry", ["2031-03-04", date(2031, 3, 4), "4.3.2031", "4 March 2031"])
def test_days_with_one_meaning_are_quiet(entry):
    assert found(typed(sound_survey(), "survey_date", entry), "unreadable_date") == []
