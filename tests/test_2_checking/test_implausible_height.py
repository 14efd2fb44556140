import pytest

from helpers_checking import changed, found, in_inches, sound_survey, typed


@pytest.mark.parametrize("name", ["gauge_low", "gauge_high", "rest_low", "rest_high"])
@pytest.mark.parametrize("mm", [2.4, 60.6])
def test_gaps_that_grands_do_not_have(name, mm):
    assert found(changed(sound_survey(), **{f"s2_{name}_mm": mm}), "implausible_height") == [f"s2_{name}"]


@pytest.mark.parametrize("mm", [3.0, 6.35, 60.0])
def test_gaps_within_the_range_are_quiet(mm):
    assert found(changed(sound_survey(), s2_rest_low_mm=mm), "implausible_height") == []


def test_centimetres_for_inches_show():
    """1.6 cm written as 1.6 on an inch sheet is 40.6 mm and passes; 16 mm written as 16 does not."""
    survey = in_inches(sound_survey())
    assert found(typed(survey, "s2_gauge_low", "16"), "implausible_height") == ["s2_gauge_low"]
