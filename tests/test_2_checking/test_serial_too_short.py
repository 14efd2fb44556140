import pytest

from helpers_checking import changed, found, sound_survey


@pytest.mark.parametrize("serial", ["7", "B7", "? 12", "BDF"])
def test_not_the_whole_number(serial):
    assert found(changed(sound_survey(), serial=serial), "serial_too_short") == ["serial"]


@pytest.mark.parametrize("serial", ["B77", "104", "B 20417", None])
def test_three_signs_with_a_figure_are_quiet(serial):
    assert found(changed(sound_survey(), serial=serial), "serial_too_short") == []
