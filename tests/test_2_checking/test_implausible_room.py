import pytest

from helpers_checking import changed, found, sound_survey


@pytest.mark.parametrize("name", ["room_low", "room_high", "gap_next"])
def test_more_room_than_pianos_have(name):
    assert found(changed(sound_survey(), **{f"s2_{name}_mm": 201.0}), "implausible_room") == [f"s2_{name}"]
    assert found(changed(sound_survey(), **{f"s2_{name}_mm": 200.0}), "implausible_room") == []


def test_no_room_at_all_is_possible():
    assert found(changed(sound_survey(), s2_room_low_mm=0.0), "implausible_room") == []
