import pytest

from helpers_checking import found, message, sound_survey, typed


def test_words_beside_a_number_are_not_guessed_at():
    survey = typed(sound_survey(), "s2_span", "about 12")
    assert found(survey, "text_in_number_cell") == ["s2_span"]
    assert message(survey, "text_in_number_cell").startswith(
        "Span over the heads (section 2): expected a length such as"
    )
    assert "found “about 12”" in message(survey, "text_in_number_cell")


def test_the_example_suits_the_kind_of_number():
    assert "angle in degrees such as 78" in message(typed(sound_survey(), "s1_angle_1", "steep"), "text_in_number_cell")
    assert "whole number such as 22" in message(typed(sound_survey(), "s1_dampers", "twenty"), "text_in_number_cell")


@pytest.mark.parametrize("entry", ["162", "162 mm", 162, "16,2 cm", "6 3/8 in", '6 3/8"'])
def test_a_number_in_any_usual_spelling_is_quiet(entry):
    assert found(typed(sound_survey(), "s2_span", entry), "text_in_number_cell") == []


def test_a_long_text_is_cut_short_in_the_sentence():
    assert len(message(typed(sound_survey(), "s2_span", "far " * 500), "text_in_number_cell")) < 250


@pytest.mark.parametrize(
    ("entry", "words"), [(">7/8", False), ("7/8?", False), ("5\\8", False), ("7/8 or so", True), ("ca. 12", True)]
)
def test_words_are_spoken_of_only_where_there_are_any(entry, words):
    sentence = message(typed(sound_survey(), "s2_span", entry), "text_in_number_cell")
    assert ("words belong in the remarks" in sentence) == words
    assert ("with no other sign" in sentence) != words
