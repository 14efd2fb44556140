from helpers_checking import computed, one_section


def test_a_run_over_eight_spaces():
    (finding,) = computed(one_section(s1_run_mm=111.0), "readings_disagree")
    assert (finding.field, finding.severity) == ("s1_run", "confirm")
    assert "The run looks like eight spaces; seven would read 97 mm." in finding.message


def test_a_head_counted_twice():
    (finding,) = computed(one_section(s1_dampers=13, s1_notes=13), "readings_disagree")
    assert finding.field == "s1_dampers"
    assert "12 heads would fit the readings, not 13" in finding.message


def test_readings_that_rounding_explains_are_quiet():
    assert computed(one_section(s1_run_mm=98.0, s1_span_mm=163.0), "readings_disagree") == []
