from helpers_checking import computed, one_section, worded

HEIGHTS = {"s1_gauge_low_mm": None, "s1_gauge_high_mm": None, "s1_rest_low_mm": 8.0, "s1_rest_high_mm": 8.0}


def test_parts_that_fit_only_if_the_reading_is_right():
    findings = computed(one_section(**HEIGHTS), "stack_within_doubt")
    assert [(each.field, each.severity) for each in findings] == [
        ("s1_rest_low", "confirm"),
        ("s1_rest_high", "confirm"),
    ]
    assert "Try a clear gauge of 5.5 mm: if the string does not touch it, the parts fit." in findings[0].message


def test_a_millimetre_more_is_certain():
    certain = HEIGHTS | {"s1_rest_low_mm": 9.0, "s1_rest_high_mm": 9.0}
    assert computed(one_section(**certain), "stack_within_doubt") == []


def test_a_millimetre_less_does_not_fit():
    less = one_section(**HEIGHTS | {"s1_rest_low_mm": 7.0, "s1_rest_high_mm": 7.0})
    assert computed(less, "stack_within_doubt") == []
    assert len(computed(less, "stack_too_tall")) == 2


def test_a_finer_step_is_asked_for_where_that_would_do():
    facts = {"foot": "F", "carrier": "C", "felt": "T", "stack": "4.5 mm", "free": "5.8 mm", "guard": "1.6 mm"}
    facts |= {"end": "low", "kind": "gap at rest", "gauge_mm": 5.2}
    finer = worded("stack_within_doubt", **facts, finer_step="1/32 in")
    assert "Read the gap at rest to 1/32 in, or try a clear gauge of 5.5 mm" in finer
