from fit_samples import survey, treble
from helpers_checking import computed

UNEVEN = {"dampers": 12, "notes": 12, "gauge": 3 / 8, "rest": (5 / 8, 3 / 8)}


def one_treble(**more):
    return survey(treble(1, **{**UNEVEN, **more}))


def test_the_higher_end_is_to_be_read_again():
    (finding,) = computed(one_treble(), "rest_gaps_too_uneven")
    assert (finding.field, finding.severity) == ("s1_rest_low", "fix")
    assert "5/8 in (15.9 mm) at the low and 3/8 in (9.5 mm) at the high end" in finding.message
    assert "raise the parts by 6.4 mm at the low end" in finding.message
    assert "read both again. If they are right, try a clear gauge of 1/2 in (12.7 mm) at the low end" in finding.message
    assert computed(one_treble(), "stack_too_tall") == []


def test_mirrored_it_names_the_other_end():
    (finding,) = computed(one_treble(rest=(3 / 8, 5 / 8)), "rest_gaps_too_uneven")
    assert finding.field == "s1_rest_high"
    assert "at the high or at least" in finding.message


def test_gaps_an_eighth_of_an_inch_nearer_are_quiet():
    assert computed(one_treble(rest=(1 / 2, 3 / 8)), "rest_gaps_too_uneven") == []


def test_parts_too_tall_anyhow_are_told_as_such():
    low = one_treble(gauge=3 / 16, rest=(5 / 16, 1 / 4))
    assert computed(low, "rest_gaps_too_uneven") == []
    assert computed(low, "stack_too_tall") != []
