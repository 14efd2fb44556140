from helpers_checking import book, computed, one_section
from railwright.checking.base import catalogue


def test_it_never_changes_the_state():
    assert catalogue()["lever_not_proven"].rule.severity == "note"


def test_a_lever_that_was_searched_to_the_end_is_quiet():
    assert computed(one_section(), "lever_not_proven", book(lever_force=0.5)) == []
    assert computed(one_section(), "lever_too_heavy", book(lever_force=0.5)) != []


def test_a_search_cut_short_is_told(monkeypatch):
    monkeypatch.setattr("railwright.computing.choice.Bench.searched_whole", False)
    (finding,) = computed(one_section(), "lever_not_proven", book(lever_force=0.5))
    assert finding.field is None
    assert "not proven" in finding.message


def test_a_light_lever_is_quiet_however_it_was_searched(monkeypatch):
    monkeypatch.setattr("railwright.computing.choice.Bench.searched_whole", False)
    assert computed(one_section(), "lever_not_proven") == []
