from helpers_checking import IN, computed, in_inches, one_section


def test_the_lowest_parts_are_struck_on_the_hardest_blow():
    survey = one_section(s1_gauge_low_mm=4.0, s1_rest_low_mm=9.0, s1_rest_high_mm=9.0, s1_gauge_high_mm=8.0)
    (finding,) = computed(survey, "stack_too_tall")
    assert (finding.field, finding.severity) == ("s1_gauge_low", "fix")
    assert "only 4.0 mm is free" in finding.message
    assert "the clear gauge is at least" in finding.message


def test_with_a_gap_at_rest_alone_that_is_the_reading_to_look_at():
    heights = {"s1_gauge_low_mm": None, "s1_gauge_high_mm": None, "s1_rest_low_mm": 6.0, "s1_rest_high_mm": 6.0}
    fields = [each.field for each in computed(one_section(**heights), "stack_too_tall")]
    assert fields == ["s1_rest_low", "s1_rest_high"]


def test_a_reading_in_inches_is_told_in_inches_and_a_block_of_inches_is_named():
    low = {"s1_gauge_low_mm": IN * 3 / 16, "s1_rest_low_mm": IN * 3 / 8, "s1_rest_high_mm": IN * 3 / 8}
    (finding,) = computed(in_inches(one_section(**low, s1_gauge_high_mm=IN * 5 / 16), IN / 16), "stack_too_tall")
    assert "3/16 in (4.8 mm) was read" in finding.message
    assert " in (" in finding.message.split("Try a gauge block of ")[1]


def test_parts_with_room_to_spare_are_quiet():
    assert computed(one_section(), "stack_too_tall") == []
