from helpers_checking import book, computed, one_section


def test_a_notch_that_may_turn_out_too_deep():
    survey = one_section(s1_strut=True, s1_hole_low=True)
    (finding,) = computed(survey, "notch_rests_on_default", book(default_hole_offset=5.5))
    assert (finding.field, finding.severity) == ("s1_hole_offset_low", "confirm")
    assert "a notch of 5.5 mm was reckoned from the usual offset" in finding.message


def test_a_shallow_one_is_quiet():
    survey = one_section(s1_strut=True, s1_hole_low=True)
    assert computed(survey, "notch_rests_on_default", book(default_hole_offset=4.0)) == []


def test_an_offset_that_was_read_is_quiet():
    survey = one_section(s1_strut=True, s1_hole_low=True, s1_hole_offset_low_mm=5.5)
    assert computed(survey, "notch_rests_on_default") == []
