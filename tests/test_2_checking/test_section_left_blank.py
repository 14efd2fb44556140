from helpers_checking import blanked, changed, found, sound_survey


def test_a_blank_section_between_filled_ones():
    assert found(blanked(sound_survey(), 2), "section_left_blank") == ["s2_dampers"]


def test_a_blank_section_at_the_top_is_no_gap():
    assert found(blanked(sound_survey(), 4), "section_left_blank") == []


def test_a_section_with_a_single_answer_is_not_blank():
    assert found(changed(blanked(sound_survey(), 2), s2_strut=False), "section_left_blank") == []
