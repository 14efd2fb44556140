from helpers_checking import found, in_inches, message, sound_survey, typed


def test_a_fraction_on_a_millimetre_sheet_is_no_millimetres():
    survey = typed(sound_survey(), "s2_span", "6 3/8")
    assert found(survey, "fraction_in_mm_sheet") == ["s2_span"]
    assert "write 6 3/8 in" in message(survey, "fraction_in_mm_sheet")


def test_with_its_unit_it_is_quiet():
    assert found(typed(sound_survey(), "s2_span", "6 3/8 in"), "fraction_in_mm_sheet") == []


def test_on_an_inch_sheet_it_is_quiet():
    assert found(typed(in_inches(sound_survey()), "s2_span", "6 3/8"), "fraction_in_mm_sheet") == []
