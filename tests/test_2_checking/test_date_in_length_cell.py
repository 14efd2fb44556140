from datetime import date

import pytest

from helpers_checking import found, in_inches, message, sound_survey, typed


def test_a_fraction_that_became_a_day_is_told_with_both_readings():
    survey = typed(in_inches(sound_survey()), "s2_gauge_low", date(2031, 3, 8), text="08/03/2031")
    assert found(survey, "date_in_length_cell") == ["s2_gauge_low"]
    sentence = message(survey, "date_in_length_cell")
    assert "8 March 2031" in sentence
    assert "3/8 or 8/3" in sentence


def test_what_to_write_is_only_an_example_where_another_fraction_was_typed():
    survey = typed(in_inches(sound_survey()), "s2_gauge_low", date(2031, 3, 7), text="07/03/2031")
    sentence = message(survey, "date_in_length_cell")
    assert "3/7 or 7/3" in sentence
    assert "for example 0 3/8" in sentence


def test_the_bare_number_of_a_day_is_a_day():
    assert found(typed(in_inches(sound_survey()), "s2_gauge_low", 46089), "date_in_length_cell") == ["s2_gauge_low"]


@pytest.mark.parametrize("entry", ["3/8", "0 3/8", 0.375])
def test_the_fraction_itself_is_quiet(entry):
    assert found(typed(in_inches(sound_survey()), "s2_gauge_low", entry), "date_in_length_cell") == []
