import pytest

from helpers_checking import changed, found, sound_survey


def test_one_note_too_few():
    survey = changed(sound_survey(), s4_notes=23)
    assert found(survey, "fewer_notes_than_dampers") == ["s4_notes"]


@pytest.mark.parametrize("notes", [24, 46, None])
def test_as_many_or_more_are_quiet(notes):
    assert found(changed(sound_survey(), s4_notes=notes), "fewer_notes_than_dampers") == []
