import pytest

from helpers_checking import changed, found, message, sound_survey


@pytest.mark.parametrize("key", ["ledge_front", "ledge_rear"])
def test_a_guide_rail_deeper_than_any(key):
    assert found(changed(sound_survey(), **{f"{key}_mm": 81.0}), "implausible_ledge") == [key]
    assert found(changed(sound_survey(), **{f"{key}_mm": 80.0}), "implausible_ledge") == []


def test_no_ledge_at_all_is_possible():
    assert found(changed(sound_survey(), ledge_front_mm=0.0), "implausible_ledge") == []


def test_the_sentence_names_no_lower_limit_where_there_is_none():
    assert "expected at most 80 mm" in message(changed(sound_survey(), ledge_rear_mm=300.0), "implausible_ledge")
