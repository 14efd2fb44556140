from helpers_checking import changed, computed, one_section, sound_survey


def test_a_top_section_whose_reach_was_not_measured():
    (finding,) = computed(changed(sound_survey(), top_reach_mm=None), "reach_reckoned")
    assert (finding.field, finding.severity) == ("top_reach", "note")
    assert finding.message.startswith("Section 4: the reach over the top damped section was not measured;")
    assert "for its 46 notes" in finding.message


def test_a_measured_reach_is_quiet():
    assert computed(sound_survey(), "reach_reckoned") == []


def test_without_undamped_notes_there_is_no_reach_to_reckon():
    assert computed(one_section(), "reach_reckoned") == []
