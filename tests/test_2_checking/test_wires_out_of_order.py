import pytest

from helpers_checking import BOOK, changed, computed, one_section, sound_survey, with_sections
from railwright.checking.run import put_into_words
from railwright.computing.compute import compute


@pytest.mark.parametrize("readings", [{"s1_span_mm": 20.0}, {"s1_span_mm": 81.0}])
def test_readings_that_leave_no_row_of_wires(readings):
    (finding,) = computed(one_section(**readings, s1_run_end_mm=None), "wires_out_of_order")
    assert (finding.field, finding.severity) == ("s1_span", "fix")
    assert "with 12 heads, a span of" in finding.message


@pytest.mark.parametrize(("reach_mm", "said"), [(313.0, 0), (320.0, 1), (324.0, 1), (326.0, 0)])
def test_a_reach_that_ends_on_the_last_head(reach_mm, said):
    """A span of 329 mm: the last wire stands near 324.3; what ends before its head is told elsewhere."""
    survey = changed(with_sections(sound_survey(), 4), top_reach_mm=reach_mm)
    found = computed(survey, "wires_out_of_order")
    assert [(each.field, each.severity) for each in found] == [("top_reach", "fix")] * said


@pytest.mark.parametrize("run_mm", [111.0, 243.0])
def test_a_run_that_goes_with_nothing_is_a_doubt_and_parts_are_reckoned_without_it(run_mm):
    survey = one_section(s1_run_mm=run_mm, s1_run_end_mm=None)
    (part,) = compute(survey, BOOK).sections
    findings = put_into_words(part.conflicts, survey)
    assert [each.rule for each in findings if each.severity != "note"] == ["readings_disagree"]
    assert "Meanwhile the wires are placed by count and span alone." in findings[0].message
    assert part.carrier is not None


def test_readings_that_disagree_less_are_quiet():
    assert computed(one_section(s1_span_mm=176.0), "wires_out_of_order") == []
    assert computed(one_section(), "wires_out_of_order") == []


@pytest.mark.parametrize("name", ["s1_span_mm", "s1_run_mm", "s1_rest_low_mm", "s1_gauge_low_mm", "s1_room_low_mm"])
@pytest.mark.parametrize("value", [0.5, 3.0, 9.0, 27.0, 81.0, 243.0, 729.0, 2187.0])
def test_whatever_was_read_a_section_has_parts_or_something_to_put_right(name, value):
    survey = one_section(**{name: value})
    (part,) = compute(survey, BOOK).sections
    assert part.carrier is not None or "fix" in [each.severity for each in put_into_words(part.conflicts, survey)]
