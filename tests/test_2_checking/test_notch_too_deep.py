from helpers_checking import computed, one_section


def test_deeper_than_half_of_the_widest_carrier():
    survey = one_section(s1_strut=True, s1_hole_low=True, s1_hole_offset_low_mm=6.5)
    (finding,) = computed(survey, "notch_too_deep")
    assert (finding.field, finding.severity) == ("s1_hole_offset_low", "fix")
    assert "a notch of 6.5 mm, more than half the width of any carrier (6.0 mm)" in finding.message


def test_just_half_is_quiet():
    survey = one_section(s1_strut=True, s1_hole_low=True, s1_hole_offset_low_mm=6.0)
    assert computed(survey, "notch_too_deep") == []


def test_behind_the_wires_there_is_no_notch():
    assert computed(one_section(s1_hole_low=True, s1_hole_offset_low_mm=6.5), "notch_too_deep") == []
