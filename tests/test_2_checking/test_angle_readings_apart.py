from helpers_checking import changed, found, message, sound_survey


def test_further_apart_than_the_shop_allows():
    survey = changed(sound_survey(), s2_angle_1_deg=98.0, s2_angle_2_deg=101.0)
    assert found(survey, "angle_readings_apart") == ["s2_angle_2"]
    assert "within 2 degrees of the first reading, 98, found 101" in message(survey, "angle_readings_apart")


def test_just_as_far_apart_as_allowed():
    assert found(changed(sound_survey(), s2_angle_2_deg=100.0), "angle_readings_apart") == []


def test_readings_that_mirror_each_other_are_left_to_their_own_rule():
    survey = changed(sound_survey(), s2_angle_1_deg=98.0, s2_angle_2_deg=82.0)
    assert found(survey, "angle_readings_apart") == []


def test_one_reading_alone_is_quiet():
    assert found(changed(sound_survey(), s2_angle_2_deg=None), "angle_readings_apart") == []
