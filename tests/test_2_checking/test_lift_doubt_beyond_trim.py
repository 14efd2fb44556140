from helpers_checking import book, computed, one_section


def test_a_gap_read_too_roughly_for_the_link():
    """1 mm rounded and 0.4 mm of setting: 1.645 x root(1/12 + 0.16) = 0.81 mm."""
    findings = computed(one_section(), "lift_doubt_beyond_trim", book(trim=0.80))
    assert [(each.field, each.severity) for each in findings] == [
        ("s1_rest_low", "confirm"),
        ("s1_rest_high", "confirm"),
    ]
    assert "known only to within 0.8 mm" in findings[0].message
    assert findings[0].message.endswith("Read it to 0.5 mm.")


def test_just_within_the_trim_is_quiet():
    assert computed(one_section(), "lift_doubt_beyond_trim", book(trim=0.82)) == []


def test_where_no_step_is_fine_enough_none_is_named():
    findings = computed(one_section(), "lift_doubt_beyond_trim", book(trim=0.5))
    assert findings[0].message.endswith("Read it again with the finest rule at hand.")
