from datetime import date

from helpers_checking import changed, found, message, sound_survey


def test_needed_the_day_before():
    survey = changed(sound_survey(), needed_by=date(2031, 3, 3))
    assert found(survey, "needed_before_survey") == ["needed_by"]
    assert "(2031-03-04) or later, found 2031-03-03" in message(survey, "needed_before_survey")


def test_needed_the_same_day_is_quiet():
    assert found(changed(sound_survey(), needed_by=date(2031, 3, 4)), "needed_before_survey") == []


def test_with_a_missing_day_nothing_is_said():
    assert found(changed(sound_survey(), needed_by=None), "needed_before_survey") == []
