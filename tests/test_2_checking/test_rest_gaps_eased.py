from fit_samples import survey, treble
from helpers_checking import computed

TILTED = {"dampers": 12, "notes": 12, "gauge": 1 / 4, "rest": (1 / 4, 3 / 8)}


def one_treble(**more):
    return survey(treble(1, **{**TILTED, **more}))


def test_clear_gauges_settle_a_tilt_by_rounding():
    (finding,) = computed(one_treble(), "rest_gaps_eased")
    assert (finding.field, finding.severity) == ("s1_rest_high", "note")
    assert "as read, 1/4 in (6.4 mm) at the low and 3/8 in (9.5 mm) at the high end cannot be" in finding.message
    assert "The clear gauges put the gap at 7.4 mm low and 8.0 mm high" in finding.message


def test_the_end_that_moves_most_is_named():
    (finding,) = computed(one_treble(rest=(3 / 8, 1 / 4)), "rest_gaps_eased")
    assert finding.field == "s1_rest_low"


def test_an_end_that_was_gauged_only_is_told_in_millimetres():
    (finding,) = computed(one_treble(rest=(None, 3 / 8)), "rest_gaps_eased")
    assert "as read, 7.6 mm by the clear gauge at the low and 3/8 in (9.5 mm) at the high end" in finding.message


def test_level_gaps_are_quiet():
    assert computed(one_treble(rest=1 / 4), "rest_gaps_eased") == []
    assert computed(one_treble(rest=3 / 8), "rest_gaps_eased") == []


def test_a_tilt_with_room_for_it_is_quiet():
    assert computed(one_treble(gauge=3 / 8, rest=(3 / 8, 1 / 2)), "rest_gaps_eased") == []


def test_a_tilt_beyond_doubt_is_no_note():
    assert computed(one_treble(rest=(1 / 4, 1 / 2)), "rest_gaps_eased") == []
