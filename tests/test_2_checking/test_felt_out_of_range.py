from helpers_checking import book, computed, one_section


def test_felt_that_may_hardly_be_pressed():
    (finding,) = computed(one_section(), "felt_out_of_range", book(working=0.09))
    assert (finding.field, finding.severity) == ("s1_rest_high", "fix")
    assert "20.0 mm at the low and 20.0 mm at the high end" in finding.message


def test_ordinary_felt_is_quiet():
    assert computed(one_section(), "felt_out_of_range") == []
