from helpers_checking import book, computed, one_section


def test_a_side_that_only_the_usual_ledge_allows():
    survey = one_section(s1_strut=True, ledge_front_mm=None)
    (finding,) = computed(survey, "side_rests_on_default", book(default_ledge_front=9.0))
    assert (finding.field, finding.severity) == ("ledge_front", "confirm")
    assert "lies in front of the wires because the usual ledge of 9.0 mm was taken" in finding.message


def test_behind_the_wires_as_well():
    survey = one_section(ledge_rear_mm=None, ledge_front_mm=2.0)
    (finding,) = computed(survey, "side_rests_on_default", book(default_ledge_rear=9.0))
    assert finding.field == "ledge_rear"
    assert "lies behind the wires" in finding.message


def test_a_ledge_that_is_usually_ample_is_quiet():
    survey = one_section(s1_strut=True, ledge_front_mm=None)
    assert computed(survey, "side_rests_on_default", book(default_ledge_front=12.0)) == []


def test_a_ledge_that_was_read_rests_on_nothing():
    assert computed(one_section(s1_strut=True, ledge_front_mm=9.0), "side_rests_on_default") == []
