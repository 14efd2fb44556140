import pytest

from helpers_checking import found, sound_survey, typed


@pytest.mark.parametrize("entry", [0, 180, -78, 270])
def test_no_string_lies_along_the_rail(entry):
    assert found(typed(sound_survey(), "s2_angle_1", entry), "impossible_angle") == ["s2_angle_1"]


@pytest.mark.parametrize("entry", [0.5, 179.5, "78°"])
def test_any_other_angle_is_left_to_the_plausible_range(entry):
    assert found(typed(sound_survey(), "s2_angle_1", entry), "impossible_angle") == []
