import pytest

from helpers_checking import changed, found, sound_survey


@pytest.mark.parametrize("name", ["angle_1", "angle_2"])
def test_angles_that_grands_do_not_have(name):
    for degrees, fields in ((59, [f"s2_{name}"]), (60, []), (120, []), (121, [f"s2_{name}"])):
        survey = changed(sound_survey(), **{f"s2_{name}_deg": float(degrees)})
        assert found(survey, "implausible_angle") == fields


def test_a_blank_second_angle_is_quiet():
    assert found(changed(sound_survey(), s2_angle_2_deg=None), "implausible_angle") == []
