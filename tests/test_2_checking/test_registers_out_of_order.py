from helpers_checking import changed, found, message, sound_survey


def test_a_tenor_above_a_treble():
    survey = changed(sound_survey(), s2_register="treble")
    assert found(survey, "registers_out_of_order") == ["s3_register"]
    assert "expected treble above a treble section, found tenor" in message(survey, "registers_out_of_order")


def test_two_sections_of_one_register_are_quiet():
    assert found(sound_survey(), "registers_out_of_order") == []


def test_a_blank_register_is_passed_over():
    assert found(changed(sound_survey(), s3_register=None), "registers_out_of_order") == []
