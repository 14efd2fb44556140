from helpers_checking import changed, found, message, sound_survey


def test_seven_heads_have_no_seven_space_run():
    survey = changed(sound_survey(), s3_dampers=7, s3_run_end_mm=None)
    assert found(survey, "run_with_too_few_heads") == ["s3_run"]
    assert "with 7 dampers, found 97.0 mm" in message(survey, "run_with_too_few_heads")


def test_eight_heads_have_one():
    assert found(changed(sound_survey(), s3_dampers=8), "run_with_too_few_heads") == []


def test_a_short_section_without_a_run_is_quiet():
    survey = changed(sound_survey(), s3_dampers=7, s3_run_mm=None, s3_run_end_mm=None)
    assert found(survey, "run_with_too_few_heads") == []


def test_without_a_count_nothing_is_said():
    assert found(changed(sound_survey(), s3_dampers=None), "run_with_too_few_heads") == []
