import pytest

from helpers_checking import changed, found, message, sound_survey, without_dampers


def test_the_reach_ends_before_the_last_wire():
    """The last string lies no lower than the last wire: 329 mm less one head of 9.5 mm, and 1 mm for rounding."""
    assert found(changed(sound_survey(), top_reach_mm=318.0), "reach_below_span") == ["top_reach"]
    assert found(changed(sound_survey(), top_reach_mm=319.0), "reach_below_span") == []


def test_the_section_it_spans_is_named():
    assert "at least the span of section 4, 329.0 mm" in message(
        changed(sound_survey(), top_reach_mm=200.0), "reach_below_span"
    )


def test_the_top_damped_section_counts_not_the_last():
    survey = without_dampers(sound_survey(), 4, notes=22, span_mm=290.0)
    assert found(changed(survey, top_reach_mm=200.0), "reach_below_span") == []


@pytest.mark.parametrize("blank", ["top_reach_mm", "s4_span_mm"])
def test_without_one_of_the_two_nothing_is_said(blank):
    survey = changed(changed(sound_survey(), top_reach_mm=200.0), **{blank: None})
    assert found(survey, "reach_below_span") == []
