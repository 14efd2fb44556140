from helpers_checking import found, sound_survey, with_sections


def test_an_empty_damper_line():
    survey = with_sections(sound_survey())
    assert found(survey, "no_section_filled") == ["s1_dampers"]


def test_one_section_is_quiet():
    assert found(with_sections(sound_survey(), 1), "no_section_filled") == []
