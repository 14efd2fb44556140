from helpers_checking import changed, found, sound_survey


def test_a_section_without_dampers_in_the_middle():
    survey = changed(sound_survey(), s3_dampers=0)
    assert found(survey, "undamped_below_damped") == ["s3_dampers"]


def test_beyond_the_last_damper_is_its_place():
    assert found(changed(sound_survey(), s4_dampers=0), "undamped_below_damped") == []


def test_a_blank_count_is_not_none():
    assert found(changed(sound_survey(), s3_dampers=None), "undamped_below_damped") == []
