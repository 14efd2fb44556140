from helpers_checking import changed, computed, in_inches, one_section, sound_survey


def test_a_long_section_read_once_to_an_eighth():
    survey = changed(in_inches(sound_survey()), s4_run_end_mm=None)
    (finding,) = computed(survey, "section_test_weak")
    assert (finding.field, finding.severity) == ("s4_run_end", "note")
    assert "a count one off in 24 heads" in finding.message


def test_with_a_second_run_it_is_quiet():
    assert computed(in_inches(sound_survey()), "section_test_weak") == []


def test_a_short_section_is_quiet():
    assert computed(one_section(s1_run_end_mm=None), "section_test_weak") == []
