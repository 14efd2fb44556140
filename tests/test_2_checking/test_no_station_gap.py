from helpers_checking import computed, one_section, without_dampers


def test_a_screw_in_every_gap():
    (finding,) = computed(one_section(s1_screws=tuple(range(13))), "no_station_gap")
    assert (finding.field, finding.severity) == ("s1_dampers", "fix")
    assert "Of 11 gaps 0 are too narrow" in finding.message
    assert "13 guide-rail screws stand in the way" in finding.message


def test_two_gaps_left_at_the_ends_suffice():
    assert computed(one_section(s1_screws=tuple(range(2, 11))), "no_station_gap") == []


def test_without_dampers_the_span_is_what_is_short():
    short = without_dampers(one_section(), 1, notes=2, span_mm=6.0)
    (finding,) = computed(short, "no_station_gap")
    assert "The span is too short for two feet" in finding.message


def test_two_dampers_have_only_one_gap():
    survey = one_section(s1_dampers=2, s1_notes=2, s1_span_mm=23.4, s1_run_mm=None, s1_run_end_mm=None)
    (finding,) = computed(survey, "no_station_gap")
    assert "There is only one gap between wires" in finding.message
