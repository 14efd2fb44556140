import pytest

from helpers_checking import computed, one_section


def spaced(pitch_mm):
    run = 7 * pitch_mm
    return one_section(s1_span_mm=11 * pitch_mm + 9.5, s1_run_mm=run, s1_run_end_mm=run)


@pytest.mark.parametrize("pitch_mm", [11.0, 17.0])
def test_readings_that_agree_on_what_grands_do_not_have(pitch_mm):
    (finding,) = computed(spaced(pitch_mm), "implausible_pitch")
    assert (finding.field, finding.severity) == ("s1_span", "confirm")
    assert f"12 to 15.5 mm apart, but count, span and run give {pitch_mm} mm" in finding.message


@pytest.mark.parametrize("pitch_mm", [12.0, 13.9, 15.5])
def test_the_ends_of_the_plausible_range_are_quiet(pitch_mm):
    assert computed(spaced(pitch_mm), "implausible_pitch") == []


def test_readings_that_disagree_are_left_to_their_own_rule():
    assert computed(one_section(s1_span_mm=200.0), "implausible_pitch") == []
