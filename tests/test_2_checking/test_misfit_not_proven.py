from helpers_checking import book, computed, one_section, worded
from railwright.checking.base import catalogue

#: Level, and too low for every part.
TOO_LOW = {"s1_gauge_low_mm": None, "s1_gauge_high_mm": None, "s1_rest_low_mm": 7.0, "s1_rest_high_mm": 7.0}


def test_the_sentence_says_what_was_not_done():
    assert worded("misfit_not_proven").startswith("Section 2: no parts were found to work, but")


def test_it_never_changes_the_state():
    assert catalogue()["misfit_not_proven"].rule.severity == "note"


def test_a_misfit_that_was_searched_to_the_end_is_quiet():
    assert computed(one_section(**TOO_LOW), "misfit_not_proven") == []
    assert computed(one_section(**TOO_LOW), "stack_too_tall") != []


def test_a_search_cut_short_is_told(monkeypatch):
    """Felt that may hardly be pressed: nothing fits. With no station sets left to look at, that is not proven."""
    crushed = book(working=0.09)
    assert computed(one_section(), "misfit_not_proven", crushed) == []
    assert computed(one_section(), "felt_out_of_range", crushed) != []
    monkeypatch.setattr("railwright.computing.placement.Budget.gone", True)
    (finding,) = computed(one_section(), "misfit_not_proven", crushed)
    assert finding.field is None
