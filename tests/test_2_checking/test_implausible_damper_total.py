import pytest

from helpers_checking import changed, found, message, sound_survey, without_dampers


@pytest.mark.parametrize(("top", "total"), [(17, 59), (34, 76)])
def test_too_few_or_too_many_dampers(top, total):
    survey = changed(sound_survey(), s4_dampers=top)
    assert found(survey, "implausible_damper_total") == ["s4_dampers"]
    assert f"found {total} (20 + 12 + 10 + {top})" in message(survey, "implausible_damper_total")


@pytest.mark.parametrize("top", [18, 33])
def test_the_ends_of_the_plausible_range_are_quiet(top):
    assert found(changed(sound_survey(), s4_dampers=top), "implausible_damper_total") == []


def test_it_is_told_at_the_last_damped_section():
    survey = without_dampers(sound_survey(), 4, notes=22, span_mm=290.0)
    assert found(survey, "implausible_damper_total") == ["s3_dampers"]


def test_with_a_missing_count_nothing_is_said():
    assert found(changed(sound_survey(), s4_dampers=None), "implausible_damper_total") == []
