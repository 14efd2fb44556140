import pytest

from helpers_checking import changed, found, sound_survey


@pytest.mark.parametrize("mm", [299.0, 5001.0])
def test_what_pianos_do_not_have(mm):
    assert found(changed(sound_survey(), cable_run_mm=mm), "implausible_cable_run") == ["cable_run"]


@pytest.mark.parametrize("mm", [300.0, 5000.0, None])
def test_the_ends_of_the_plausible_range_are_quiet(mm):
    assert found(changed(sound_survey(), cable_run_mm=mm), "implausible_cable_run") == []
