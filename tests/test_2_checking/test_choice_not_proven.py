from helpers_checking import computed, one_section, worded
from railwright.checking.base import catalogue


def test_the_sentence_says_that_the_parts_work():
    assert worded("choice_not_proven", cost=12.5).startswith("Section 2: the parts work, but")


def test_it_never_changes_the_state():
    assert catalogue()["choice_not_proven"].rule.severity == "note"


def test_an_ordinary_section_is_proven():
    assert computed(one_section(), "choice_not_proven") == []
