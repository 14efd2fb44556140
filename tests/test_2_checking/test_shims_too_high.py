from helpers_checking import book, computed, one_section


def test_ends_further_apart_than_shims_level():
    (finding,) = computed(one_section(s1_rest_high_mm=24.0), "shims_too_high", book(shim_max=0.5))
    assert (finding.field, finding.severity) == ("s1_rest_high", "fix")
    assert "20.0 mm at the low and 24.0 mm at the high end, 4.0 mm apart, and shims level 0.5 mm" in finding.message


def test_with_the_usual_shims_it_is_quiet():
    assert computed(one_section(s1_rest_high_mm=24.0), "shims_too_high") == []
