import pytest

from helpers_checking import changed, found, in_inches, message, sound_survey


@pytest.mark.parametrize("step", ["1/8", "1/32"])
def test_an_inch_step_on_a_millimetre_sheet(step):
    survey = changed(sound_survey(), reading_step=step)
    assert found(survey, "step_of_other_unit") == ["reading_step"]
    assert "expected 1 or 0.5 for readings in mm" in message(survey, "step_of_other_unit")


@pytest.mark.parametrize("step", ["1", "0.5"])
def test_a_metric_step_on_an_inch_sheet(step):
    survey = changed(in_inches(sound_survey()), reading_step=step)
    assert found(survey, "step_of_other_unit") == ["reading_step"]


def test_steps_of_the_unit_are_quiet():
    assert found(changed(sound_survey(), reading_step="0.5"), "step_of_other_unit") == []
    assert found(changed(in_inches(sound_survey()), reading_step="1/32"), "step_of_other_unit") == []


def test_a_blank_step_or_unit_is_left_to_its_own_rule():
    assert found(changed(sound_survey(), reading_step=None), "step_of_other_unit") == []
    assert found(changed(sound_survey(), reading_step="1/8", unit=None), "step_of_other_unit") == []
