from helpers_checking import changed, findings, found, sound_survey


def test_two_readings_that_mirror_each_other():
    survey = changed(sound_survey(), s2_angle_1_deg=98.0, s2_angle_2_deg=83.0)
    assert found(survey, "angle_from_wrong_side") == ["s2_angle_2"]


def test_a_bass_above_ninety():
    survey = changed(sound_survey(), s1_angle_1_deg=102.0, s1_angle_2_deg=102.0)
    assert found(survey, "angle_from_wrong_side") == ["s1_angle_1", "s1_angle_2"]
    assert "it would be 78" in findings(survey, "angle_from_wrong_side")[0].message


def test_a_bass_about_ninety_is_quiet():
    survey = changed(sound_survey(), s1_angle_1_deg=92.0, s1_angle_2_deg=91.0)
    assert found(survey, "angle_from_wrong_side") == []


def test_a_tenor_above_ninety_is_quiet():
    assert found(sound_survey(), "angle_from_wrong_side") == []


def test_readings_about_ninety_mirror_nothing():
    survey = changed(sound_survey(), s2_angle_1_deg=91.0, s2_angle_2_deg=89.0)
    assert found(survey, "angle_from_wrong_side") == []
