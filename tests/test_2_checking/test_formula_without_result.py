from helpers_checking import found, message, sound_survey, typed


def test_a_formula_that_was_never_worked_out():
    survey = typed(sound_survey(), "s2_span", None, kind="formula_without_result", text="")
    assert found(survey, "formula_without_result") == ["s2_span"]
    assert "found nothing to read" in message(survey, "formula_without_result")


def test_a_blank_is_no_formula():
    assert found(typed(sound_survey(), "s2_span", None), "formula_without_result") == []
