from helpers_checking import changed, found, sound_survey


def test_without_a_span_the_run_is_judged_alone():
    survey = changed(sound_survey(), s2_span_mm=None)
    assert found(changed(survey, s2_run_mm=83.0), "implausible_run") == ["s2_run"]
    assert found(changed(survey, s2_run_mm=84.0), "implausible_run") == []
    assert found(changed(survey, s2_run_mm=109.0), "implausible_run") == []
    assert found(changed(survey, s2_run_mm=110.0), "implausible_run") == ["s2_run"]


def test_without_a_count_the_second_run_is_judged_too():
    survey = changed(sound_survey(), s2_dampers=None, s2_run_end_mm=111.0)
    assert found(survey, "implausible_run") == ["s2_run_end"]


def test_with_count_and_span_the_three_are_judged_together():
    assert found(changed(sound_survey(), s2_run_mm=111.0), "implausible_run") == []


def test_where_there_can_be_no_run_another_rule_speaks():
    assert found(changed(sound_survey(), s3_dampers=7, s3_span_mm=None, s3_run_mm=111.0), "implausible_run") == []
