from helpers_checking import changed, computed, one_section, sound_survey


def test_a_strut_behind_and_a_narrow_rail_in_front():
    (finding,) = computed(one_section(s1_strut=True, ledge_front_mm=5.0), "no_side_free")
    assert (finding.field, finding.severity) == ("s1_strut", "fix")
    assert "Behind them stands a strut; in front it is 5.0 mm deep" in finding.message


def test_a_narrow_rail_on_both_sides():
    (finding,) = computed(one_section(ledge_rear_mm=6.0, ledge_front_mm=5.0), "no_side_free")
    assert finding.field == "ledge_rear"
    assert "Behind them the guide rail is 6.0 mm deep" in finding.message


def test_room_on_one_side_is_quiet():
    assert computed(one_section(s1_strut=True), "no_side_free") == []
    assert computed(one_section(ledge_front_mm=5.0), "no_side_free") == []


def test_what_is_true_of_every_section_is_said_once():
    (finding,) = computed(changed(sound_survey(), ledge_rear_mm=5.0, ledge_front_mm=5.0), "no_side_free")
    assert finding.message.startswith("Sections 1, 2, 3 and 4: the segment finds room on neither side")
