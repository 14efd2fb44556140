import pytest

from helpers_checking import changed, computed, in_inches, one_section, sound_survey


def test_a_long_section_read_once_to_an_eighth():
    survey = changed(in_inches(sound_survey()), s4_run_end_mm=None)
    (finding,) = computed(survey, "section_test_weak")
    assert (finding.field, finding.severity) == ("s4_run_end", "note")
    assert "a count one off in 24 heads" in finding.message
    assert "A second seven-space run near the other end would show it about" in finding.message


def test_with_a_second_run_it_is_quiet():
    assert computed(in_inches(sound_survey()), "section_test_weak") == []


def test_a_short_section_is_quiet():
    assert computed(one_section(s1_run_end_mm=None), "section_test_weak") == []


@pytest.mark.parametrize("heads", [5, 6, 7])
def test_a_section_too_short_for_a_run_is_never_asked_for_one(heads):
    few = {"s1_dampers": heads, "s1_span_mm": 9.5 + (heads - 1) * 13.9, "s1_run_mm": None, "s1_run_end_mm": None}
    (finding,) = computed(one_section(**few), "section_test_weak")
    assert finding.field == "s1_dampers"
    assert "run" not in finding.message and finding.message.endswith("count the heads twice.")


def test_eight_heads_are_quiet():
    eight = {"s1_dampers": 8, "s1_span_mm": 106.8, "s1_run_mm": 97.3, "s1_run_end_mm": None}
    assert computed(one_section(**eight), "section_test_weak") == []
