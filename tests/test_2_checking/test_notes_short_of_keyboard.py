from helpers_checking import changed, found, message, sound_survey


def test_one_note_less_than_a_keyboard():
    survey = changed(sound_survey(), s4_notes=45)
    assert found(survey, "notes_short_of_keyboard") == ["s4_notes"]
    assert "expected 88 notes over all sections, found 87 (20 + 12 + 10 + 45)" in message(
        survey, "notes_short_of_keyboard"
    )


def test_just_a_keyboard_is_quiet():
    assert found(changed(sound_survey(), s4_notes=46), "notes_short_of_keyboard") == []


def test_where_the_top_section_takes_the_rest_nothing_can_be_short():
    assert found(changed(sound_survey(), s4_notes=None), "notes_short_of_keyboard") == []


def test_with_a_missing_count_nothing_is_said():
    assert found(changed(sound_survey(), s4_notes=45, s2_dampers=None), "notes_short_of_keyboard") == []
