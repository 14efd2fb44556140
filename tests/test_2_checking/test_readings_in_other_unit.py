from helpers_checking import IN, changed, found, in_inches, message, sound_survey


def scaled(survey, factor):
    return changed(survey, **{f"s{each.number}_span_mm": each.span_mm * factor for each in survey.sections})


def test_millimetres_on_a_sheet_that_says_inches():
    survey = scaled(in_inches(sound_survey()), IN)
    assert found(survey, "readings_in_other_unit") == ["unit"]
    assert "read in millimetres they would be 13.6 mm apart. Choose mm" in message(survey, "readings_in_other_unit")


def test_inches_on_a_sheet_that_says_millimetres():
    survey = scaled(sound_survey(), 1 / IN)
    assert found(survey, "readings_in_other_unit") == ["unit"]
    assert "Choose in" in message(survey, "readings_in_other_unit")


def test_spans_in_the_stated_unit_are_quiet():
    assert found(sound_survey(), "readings_in_other_unit") == []
    assert found(in_inches(sound_survey()), "readings_in_other_unit") == []


def test_one_span_far_off_is_left_to_its_own_rule():
    assert found(changed(sound_survey(), s2_span_mm=162 / IN), "readings_in_other_unit") == []


def test_without_a_unit_or_a_span_nothing_is_said():
    assert found(changed(scaled(sound_survey(), 1 / IN), unit=None), "readings_in_other_unit") == []
    spans = {f"s{number}_span_mm": None for number in (1, 2, 3, 4)}
    assert found(changed(sound_survey(), **spans), "readings_in_other_unit") == []
