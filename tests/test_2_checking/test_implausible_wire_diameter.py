import pytest

from helpers_checking import IN, changed, found, in_inches, sound_survey


@pytest.mark.parametrize("mm", [1.4, 5.1])
def test_what_pianos_do_not_have(mm):
    assert found(changed(sound_survey(), wire_diameter_mm=mm), "implausible_wire_diameter") == ["wire_diameter"]


@pytest.mark.parametrize("mm", [2.0, 4.5, None])
def test_the_ends_of_the_plausible_range_are_quiet(mm):
    assert found(changed(sound_survey(), wire_diameter_mm=mm), "implausible_wire_diameter") == []


def test_an_eighth_of_an_inch_is_a_plausible_wire():
    coarse = in_inches(sound_survey())
    assert found(changed(coarse, wire_diameter_mm=IN / 8), "implausible_wire_diameter") == []
    assert found(changed(coarse, wire_diameter_mm=IN / 4), "implausible_wire_diameter") == ["wire_diameter"]
