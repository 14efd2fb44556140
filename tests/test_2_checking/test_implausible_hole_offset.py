import pytest

from helpers_checking import changed, found, sound_survey


@pytest.mark.parametrize(("number", "end"), [(1, "high"), (2, "low")])
def test_a_hole_farther_out_of_line_than_any(number, end):
    hole, offset = f"s{number}_hole_{end}", f"s{number}_hole_offset_{end}"
    far = changed(sound_survey(), **{hole: True, f"{offset}_mm": 11.0})
    assert found(far, "implausible_hole_offset") == [offset]
    near = changed(sound_survey(), **{hole: True, f"{offset}_mm": 10.0})
    assert found(near, "implausible_hole_offset") == []
