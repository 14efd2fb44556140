from helpers_checking import changed, found, message, sound_survey, with_sections


def test_no_bass():
    survey = changed(sound_survey(), s1_register="tenor")
    assert found(survey, "register_not_surveyed") == ["s1_register"]
    assert "expected bass in the lowest section, found tenor" in message(survey, "register_not_surveyed")


def test_no_treble():
    assert found(changed(sound_survey(), s4_register="tenor"), "register_not_surveyed") == ["s4_register"]


def test_no_tenor_is_possible():
    assert found(with_sections(sound_survey(), 1, 4), "register_not_surveyed") == []


def test_a_blank_register_is_left_to_its_own_rule():
    assert found(changed(sound_survey(), s1_register=None), "register_not_surveyed") == []
