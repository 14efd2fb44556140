from helpers_checking import found, sound_survey, typed


def test_more_than_a_keyboard_has():
    survey = typed(sound_survey(), "s2_dampers", 89)
    assert found(survey, "impossible_count") == ["s2_dampers"]


def test_as_many_as_a_keyboard_has():
    assert found(typed(sound_survey(), "s2_dampers", 88), "impossible_count") == []
