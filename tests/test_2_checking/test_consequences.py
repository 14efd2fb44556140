from fnmatch import fnmatchcase

from railwright.checking.base import catalogue
from railwright.checking.run import without_consequences
from railwright.survey.findings import Finding


def finding(rule):
    return Finding(rule, catalogue()[rule].rule.severity, "words")


def rules_told(*rules):
    return [each.rule for each in without_consequences([finding(rule) for rule in rules])]


def test_a_wrong_unit_is_one_question():
    assert rules_told("implausible_span", "readings_in_other_unit", "lift_beyond_cranks") == ["readings_in_other_unit"]


def test_what_a_wrong_unit_does_not_explain_is_still_told():
    assert rules_told("readings_in_other_unit", "missing_reading") == ["readings_in_other_unit", "missing_reading"]


def test_without_the_cause_everything_is_told():
    assert rules_told("implausible_span", "lift_beyond_cranks") == ["implausible_span", "lift_beyond_cranks"]


def test_every_pattern_names_a_rule_and_none_its_own():
    for name, entry in catalogue().items():
        for pattern in entry.rule.explains:
            assert any(fnmatchcase(other, pattern) for other in catalogue())
            assert not fnmatchcase(name, pattern)
