from helpers_checking import changed, found, message, sound_survey


def test_one_note_more_than_a_keyboard():
    survey = changed(sound_survey(), s4_notes=47)
    assert found(survey, "notes_beyond_keyboard") == ["s4_notes"]
    assert "found 89 (20 + 12 + 10 + 47)" in message(survey, "notes_beyond_keyboard")


def test_just_a_keyboard_is_quiet():
    assert found(changed(sound_survey(), s4_notes=46), "notes_beyond_keyboard") == []


def test_dampers_alone_can_be_too_many():
    assert found(changed(sound_survey(), s1_dampers=43), "notes_beyond_keyboard") == ["s1_dampers"]


def test_fewer_dampers_than_notes_are_quiet():
    assert found(sound_survey(), "notes_beyond_keyboard") == []
