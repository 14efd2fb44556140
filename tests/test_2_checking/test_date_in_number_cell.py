from datetime import date

import pytest

from helpers_checking import found, sound_survey, typed


@pytest.mark.parametrize("key", ["s2_dampers", "s2_angle_1"])
def test_a_count_or_an_angle_that_became_a_day(key):
    survey = typed(sound_survey(), key, date(2031, 3, 8))
    assert found(survey, "date_in_number_cell") == [key]


def test_a_day_in_a_length_belongs_to_another_rule():
    assert found(typed(sound_survey(), "s2_span", date(2031, 3, 8)), "date_in_number_cell") == []


def test_a_plain_count_is_quiet():
    assert found(typed(sound_survey(), "s2_dampers", 12), "date_in_number_cell") == []
