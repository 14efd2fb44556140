from helpers_checking import BOOK, changed, computed, sound_survey, with_sections
from kin_kit import earlier_of, knowing

# sections of 12 and of 24 heads
TWO = changed(with_sections(sound_survey(), 2, 4), top_reach_mm=None, s2_notes=24)
KIN = [earlier_of(TWO, serial) for serial in range(5)]


def held_against_kin(**readings):
    return knowing(changed(TWO, **readings), KIN, BOOK)


def test_a_damper_more_with_the_length_to_match_is_mentioned():
    (finding,) = computed(held_against_kin(s2_dampers=25, s2_notes=25, s2_span_mm=343.0), "built_unlike_kind")
    assert (finding.field, finding.severity) == ("s2_dampers", "note")
    assert "earlier pianos of this maker and model have 24 dampers, span about 329 mm" in finding.message


def test_another_pitch_is_mentioned_at_the_span():
    readings = {"s2_span_mm": 360.0, "s2_run_mm": 107.0, "s2_run_end_mm": 107.0}
    (finding,) = computed(held_against_kin(**readings), "built_unlike_kind")
    assert finding.field == "s2_span"


def test_a_split_moved_from_one_section_to_the_next_is_mentioned_in_both():
    moved = held_against_kin(s1_dampers=11, s1_span_mm=148.0, s2_dampers=25, s2_notes=25, s2_span_mm=343.0)
    assert [each.field for each in computed(moved, "built_unlike_kind")] == ["s1_dampers", "s2_dampers"]
    assert computed(moved, "departs_from_kind") == []


def test_a_slip_is_asked_about_instead():
    assert computed(held_against_kin(s2_dampers=25, s2_notes=25, s2_run_end_mm=None), "built_unlike_kind") == []


def test_like_its_kind_or_without_one_it_is_quiet():
    assert computed(held_against_kin(), "built_unlike_kind") == []
    assert computed(changed(TWO, s2_dampers=25, s2_notes=25, s2_span_mm=343.0), "built_unlike_kind") == []
