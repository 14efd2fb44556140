import pytest

from helpers_checking import changed, found, sound_survey


@pytest.mark.parametrize(("dampers", "fields"), [(0, []), (1, ["s3_dampers"]), (2, []), (None, [])])
def test_a_single_damper_has_no_spacing(dampers, fields):
    assert found(changed(sound_survey(), s3_dampers=dampers), "one_damper") == fields
