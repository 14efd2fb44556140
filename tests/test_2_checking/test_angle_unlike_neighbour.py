from helpers_checking import changed, found, message, sound_survey


def test_a_jump_above_the_bass():
    survey = changed(sound_survey(), s4_angle_1_deg=74.0, s4_angle_2_deg=74.0)
    assert found(survey, "angle_unlike_neighbour") == ["s4_angle_1"]
    assert "within 20 degrees of section 3, 95.5, found 74" in message(survey, "angle_unlike_neighbour")


def test_just_as_far_as_plausible():
    survey = changed(sound_survey(), s4_angle_1_deg=75.5, s4_angle_2_deg=75.5)
    assert found(survey, "angle_unlike_neighbour") == []


def test_the_bass_strings_lean_their_own_way():
    survey = changed(sound_survey(), s1_angle_1_deg=62.0, s1_angle_2_deg=62.0)
    assert found(survey, "angle_unlike_neighbour") == []


def test_a_section_without_an_angle_is_passed_over():
    survey = changed(sound_survey(), s4_angle_1_deg=None, s4_angle_2_deg=None)
    assert found(survey, "angle_unlike_neighbour") == []


def test_a_section_unlike_both_neighbours_is_asked_for_alone():
    survey = changed(sound_survey(), s3_angle_1_deg=60.0, s3_angle_2_deg=60.0)
    assert found(survey, "angle_unlike_neighbour") == ["s3_angle_1"]
    assert message(survey, "angle_unlike_neighbour").endswith("agrees with that one: read this angle again.")
