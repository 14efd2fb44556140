from helpers_checking import changed, found, sound_survey, typed


def test_a_bare_number_on_a_sheet_without_a_unit():
    survey = typed(changed(sound_survey(), unit=None), "s2_span", "162")
    assert found(survey, "unit_unknown") == ["s2_span"]


def test_a_number_with_its_own_unit_is_quiet():
    assert found(typed(changed(sound_survey(), unit=None), "s2_span", "162 mm"), "unit_unknown") == []
