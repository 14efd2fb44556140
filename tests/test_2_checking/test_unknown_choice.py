import pytest

from helpers_checking import found, message, sound_survey, typed


def test_a_word_that_is_not_on_the_list():
    survey = typed(sound_survey(), "s2_register", "middle")
    assert found(survey, "unknown_choice") == ["s2_register"]
    assert "expected bass, tenor or treble, found “middle”" in message(survey, "unknown_choice")


def test_neither_yes_nor_no():
    assert "expected yes or no" in message(typed(sound_survey(), "s2_strut", "perhaps"), "unknown_choice")


def test_a_step_that_nobody_reads():
    assert "1/8, 1/16, 1/32, 1 or 0.5" in message(typed(sound_survey(), "reading_step", "1/5"), "unknown_choice")


@pytest.mark.parametrize("entry", ["tenor", "Tenor", " TENOR "])
def test_capitals_and_blanks_do_not_matter(entry):
    assert found(typed(sound_survey(), "s2_register", entry), "unknown_choice") == []
