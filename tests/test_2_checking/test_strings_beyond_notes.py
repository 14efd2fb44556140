from helpers_checking import changed, found, message, sound_survey


def test_more_singles_and_doubles_than_notes():
    survey = changed(sound_survey(), s1_singles=9, s1_doubles=12)
    assert found(survey, "strings_beyond_notes") == ["s1_doubles"]
    assert "at most 20 single and double notes together" in message(survey, "strings_beyond_notes")


def test_singles_alone_are_told_at_the_singles():
    survey = changed(sound_survey(), s1_singles=21, s1_doubles=None)
    assert found(survey, "strings_beyond_notes") == ["s1_singles"]


def test_just_as_many_as_notes():
    assert found(changed(sound_survey(), s1_singles=8, s1_doubles=12), "strings_beyond_notes") == []


def test_undamped_notes_count_too():
    assert found(changed(sound_survey(), s4_notes=46, s4_doubles=40), "strings_beyond_notes") == []


def test_without_a_count_nothing_is_said():
    assert found(changed(sound_survey(), s1_dampers=None), "strings_beyond_notes") == []
