from fit_samples import survey, treble
from helpers_checking import book, computed, worded

TILTED = {"dampers": 12, "notes": 12, "gauge": (1 / 4, None), "rest": (3 / 8, 1 / 4)}
FACTS = {"low_mm": 9.525, "high_mm": 6.35, "low_from": "s2_rest_low", "high_from": "s2_rest_high"}


def one_treble(**more):
    return survey(treble(1, **{**TILTED, **more}))


def test_a_tilt_with_a_gauge_at_one_end_only():
    (finding,) = computed(one_treble(), "rest_gaps_in_doubt")
    assert (finding.field, finding.severity) == ("s1_rest_high", "confirm")
    assert "as read, 3/8 in (9.5 mm) at the low and 1/4 in (6.4 mm) at the high end cannot be" in finding.message
    assert "reckoned for 8.0 mm low and 8.0 mm high" in finding.message
    assert finding.message.endswith("Read both to 1/32 in.")


def test_a_gauge_at_the_other_end_settles_it():
    assert computed(one_treble(gauge=1 / 4), "rest_gaps_in_doubt") == []


def test_gauges_that_leave_more_doubt_than_the_trim_do_not():
    """Two estimates of u 1.00 and 0.48 mm leave 0.43: 1.645 times that is 0.71 mm."""
    of = one_treble(gauge=1 / 4)
    assert computed(of, "rest_gaps_in_doubt", book(trim=0.72)) == []
    assert len(computed(of, "rest_gaps_in_doubt", book(trim=0.70))) == 1


def test_a_tilt_beyond_doubt_is_no_doubt():
    assert computed(one_treble(rest=(3 / 8, 1 / 8)), "rest_gaps_in_doubt") == []


def test_read_to_the_finest_step_already():
    """The sheet of this picture is in millimetres, read to 1 mm; half a millimetre is the finest that a rule shows."""
    assert worded("rest_gaps_in_doubt", **FACTS, low_eased="8.0 mm", high_eased="7.9 mm").endswith("to 0.5 mm.")
