import pytest

from helpers_checking import IN, changed, found, in_inches, message, sound_survey


@pytest.mark.parametrize("mm", [7.4, 11.6])
def test_what_pianos_do_not_have(mm):
    assert found(changed(sound_survey(), head_width_mm=mm), "implausible_head_width") == ["head_width"]


@pytest.mark.parametrize("mm", [8.0, 11.0, None])
def test_the_ends_of_the_plausible_range_are_quiet(mm):
    assert found(changed(sound_survey(), head_width_mm=mm), "implausible_head_width") == []


def test_a_coarse_reading_stands_for_all_that_rounds_to_it():
    """A head of 11 mm reads 3/8 in or 1/2 in at most; 5/8 in and 1/4 in no plausible head reads."""
    coarse = in_inches(sound_survey())
    assert found(changed(coarse, head_width_mm=IN * 3 / 8), "implausible_head_width") == []
    assert found(changed(coarse, head_width_mm=IN / 4), "implausible_head_width") == ["head_width"]
    assert found(changed(coarse, head_width_mm=IN * 5 / 8), "implausible_head_width") == ["head_width"]


def test_the_sentence_gives_the_reading_as_it_was_written():
    survey = changed(in_inches(sound_survey()), head_width_mm=IN / 4)
    assert "expected 8 to 11 mm, found 1/4 in (6.4 mm)" in message(survey, "implausible_head_width")
