import pytest

from helpers_checking import found, message, sound_survey, typed


@pytest.mark.parametrize("entry", [0, -3, "-3 mm"])
def test_a_length_that_cannot_be(entry):
    survey = typed(sound_survey(), "s2_span", entry)
    assert found(survey, "length_not_above_zero") == ["s2_span"]
    assert "expected a length above zero" in message(survey, "length_not_above_zero")


def test_the_smallest_length_is_quiet():
    assert found(typed(sound_survey(), "s2_span", 0.1), "length_not_above_zero") == []


def test_room_may_be_nothing_but_not_less():
    assert found(typed(sound_survey(), "s2_room_low", 0), "length_not_above_zero") == []
    less = typed(sound_survey(), "s2_room_low", -1)
    assert "expected zero or a length above it" in message(less, "length_not_above_zero")
