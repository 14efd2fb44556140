import pytest

from helpers_checking import computed, one_section


@pytest.mark.parametrize("end", ["low", "high"])
def test_less_room_than_every_end_keeps(end):
    (finding,) = computed(one_section(**{f"s1_room_{end}_mm": 1.0}), "end_without_room")
    assert (finding.field, finding.severity) == (f"s1_room_{end}", "fix")
    assert f"expected at least 2.0 mm between the outer head and the plate at the {end} end" in finding.message
    assert "found 1.0 mm" in finding.message


def test_just_enough_room_is_quiet():
    assert computed(one_section(s1_room_low_mm=2.0), "end_without_room") == []
