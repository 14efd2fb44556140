from helpers_checking import changed, found, message, sound_survey, typed


def test_a_bare_number_on_a_sheet_without_a_unit():
    survey = typed(changed(sound_survey(), unit=None), "s2_span", "162")
    assert found(survey, "unit_unknown") == ["s2_span"]


def test_a_number_with_its_own_unit_is_quiet():
    assert found(typed(changed(sound_survey(), unit=None), "s2_span", "162 mm"), "unit_unknown") == []


def test_a_forgotten_unit_is_told_once_however_many_lengths_wait_for_it():
    survey = changed(sound_survey(), unit=None)
    for key in ("s1_span", "s2_span", "s3_span"):
        survey = typed(survey, key, "162")
    assert found(survey, "unit_unknown") == ["s1_span"]
    assert "2 other lengths cannot be read either" in message(survey, "unit_unknown")


def test_one_length_alone_has_no_others():
    survey = typed(changed(sound_survey(), unit=None), "s2_span", "162")
    assert "other length" not in message(survey, "unit_unknown")
