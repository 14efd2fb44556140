import pytest

from helpers_checking import blanked, changed, findings, found, message, sound_survey, typed, without_dampers


@pytest.mark.parametrize(
    "key",
    ["order_no", "site", "technician", "survey_date", "needed_by", "maker", "model", "serial", "unit", "reading_step"],
)
def test_the_instrument_cannot_do_without(key):
    assert found(changed(sound_survey(), **{key: None}), "missing_reading") == [key]


@pytest.mark.parametrize("key", ["register", "dampers", "span", "run", "strut", "screws"])
def test_a_section_cannot_do_without(key):
    assert found(changed(sound_survey(), **{f"s2_{key}": None}), "missing_reading") == [f"s2_{key}"]


def test_one_reading_of_the_angle_will_do():
    assert found(changed(sound_survey(), s2_angle_1_deg=None), "missing_reading") == []
    survey = changed(sound_survey(), s2_angle_1_deg=None, s2_angle_2_deg=None)
    assert found(survey, "missing_reading") == ["s2_angle_1"]


def test_either_height_will_do_at_an_end():
    survey = changed(sound_survey(), s2_gauge_low_mm=None, s3_rest_high_mm=None)
    assert found(survey, "missing_reading") == []


def test_without_any_height_the_gauge_is_asked_for_and_in_the_treble_the_gap_at_rest():
    survey = changed(sound_survey(), s2_gauge_low_mm=None, s2_rest_low_mm=None)
    assert found(survey, "missing_reading") == ["s2_gauge_low"]
    assert "clear gauge or the gap at rest" in message(survey, "missing_reading")
    treble = changed(sound_survey(), s4_gauge_high_mm=None, s4_rest_high_mm=None)
    assert found(treble, "missing_reading") == ["s4_rest_high"]


def test_a_run_is_asked_for_from_eight_heads_on():
    short = changed(sound_survey(), s3_dampers=7, s3_run_mm=None)
    assert found(short, "missing_reading") == []
    eight = changed(sound_survey(), s3_dampers=8, s3_run_mm=None)
    assert found(eight, "missing_reading") == ["s3_run"]
    assert "because the section has 8 dampers or more" in message(eight, "missing_reading")


def test_without_a_count_no_reason_is_made_up():
    survey = changed(sound_survey(), s3_dampers=None, s3_run_mm=None)
    sentences = {each.field: each.message for each in findings(survey, "missing_reading")}
    assert set(sentences) == {"s3_dampers", "s3_run"}
    assert "because" not in sentences["s3_run"]


def test_beyond_the_last_damper_notes_are_asked_for_but_no_screws_or_run():
    survey = without_dampers(sound_survey(), 4, notes=22, span_mm=290.0)
    assert found(survey, "missing_reading") == []
    assert found(changed(survey, s4_notes=None), "missing_reading") == ["s4_notes"]


@pytest.mark.parametrize("name", ["head_width_mm", "cable_run_mm", "s2_run_end_mm", "s2_angle_2_deg", "s2_room_low_mm"])
def test_optional_readings_may_stay_blank(name):
    assert found(changed(sound_survey(), **{name: None}), "missing_reading") == []


def test_an_answer_that_cannot_be_read_is_not_missing():
    assert found(typed(sound_survey(), "s2_span", "about 12"), "missing_reading") == []


def test_a_section_skipped_as_a_whole_is_one_finding_not_nine():
    assert found(blanked(sound_survey(), 2), "missing_reading") == []
