from helpers_checking import changed, found, sound_survey, without_dampers


def test_without_a_count_only_what_no_piano_has_is_implausible():
    survey = changed(sound_survey(), s2_dampers=None)
    assert found(changed(survey, s2_span_mm=11.0), "implausible_span") == ["s2_span"]
    assert found(changed(survey, s2_span_mm=12.0), "implausible_span") == []
    assert found(changed(survey, s2_span_mm=1163.0), "implausible_span") == []
    assert found(changed(survey, s2_span_mm=1164.0), "implausible_span") == ["s2_span"]


def test_beyond_the_last_damper_the_notes_give_the_range():
    """21 spaces between 22 strings: 252 to 325.5 mm."""
    for span_mm, fields in ((251.0, ["s4_span"]), (252.0, []), (326.0, []), (327.0, ["s4_span"])):
        survey = without_dampers(sound_survey(), 4, notes=22, span_mm=span_mm)
        assert found(survey, "implausible_span") == fields


def test_with_a_count_of_dampers_the_spacing_judges():
    assert found(changed(sound_survey(), s2_span_mm=11.0), "implausible_span") == []
