from helpers_checking import changed, findings, found, message, sound_survey, typed


def test_an_offset_beside_the_answer_no_is_in_doubt():
    survey = changed(sound_survey(), s1_hole_high=False, s1_hole_offset_high_mm=3.0)
    assert found(survey, "offset_without_hole") == ["s1_hole_offset_high"]
    assert "so no notch is cut" in message(survey, "offset_without_hole")
    assert findings(survey, "offset_without_hole")[0].severity == "confirm"


def test_an_offset_beside_no_answer_is_believed():
    survey = changed(sound_survey(), s1_hole_high=None, s1_hole_offset_high_mm=3.0)
    assert "so a notch is cut" in message(survey, "offset_without_hole")
    assert findings(survey, "offset_without_hole")[0].severity == "note"


def test_a_hole_out_of_line_with_its_offset_is_quiet():
    survey = changed(sound_survey(), s1_hole_high=True, s1_hole_offset_high_mm=3.0)
    assert found(survey, "offset_without_hole") == []


def test_an_offset_of_nothing_is_quiet():
    assert found(changed(sound_survey(), s1_hole_offset_high_mm=0.0), "offset_without_hole") == []


def test_an_answer_that_cannot_be_read_is_left_to_its_own_rule():
    survey = typed(changed(sound_survey(), s1_hole_offset_high_mm=3.0), "s1_hole_high", "perhaps")
    assert found(survey, "offset_without_hole") == []
