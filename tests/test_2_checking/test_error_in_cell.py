from helpers_checking import found, message, sound_survey, typed


def test_the_error_of_a_formula():
    survey = typed(sound_survey(), "s2_span", None, kind="error", text="#REF!")
    assert found(survey, "error_in_cell") == ["s2_span"]
    assert message(survey, "error_in_cell").count("#REF!") == 1


def test_a_reading_is_quiet():
    assert found(typed(sound_survey(), "s2_span", 162), "error_in_cell") == []
