import pytest

from helpers_checking import found, in_inches, message, sound_survey, typed


def test_a_third_is_on_no_rule():
    survey = typed(in_inches(sound_survey()), "s2_span", "6 1/3")
    assert found(survey, "impossible_fraction") == ["s2_span"]
    assert "1/3 is on no rule" in message(survey, "impossible_fraction")


def test_a_fraction_not_less_than_one():
    assert "write 6 1/2" in message(typed(in_inches(sound_survey()), "s2_span", "5 12/8"), "impossible_fraction")


@pytest.mark.parametrize("entry", ["6 3/8", "6 1/2", "6 31/32", "6 7/64"])
def test_marks_of_a_rule_are_quiet(entry):
    assert found(typed(in_inches(sound_survey()), "s2_span", entry), "impossible_fraction") == []
