from helpers_checking import computed, one_section

HIGH = {f"s1_{kind}_{end}_mm": 25.0 for kind in ("gauge", "rest") for end in ("low", "high")}


def test_strings_too_far_above_any_parts():
    survey = one_section(**dict.fromkeys(HIGH, 45.0))
    (finding,) = computed(survey, "lift_beyond_cranks")
    assert finding.severity == "fix"
    assert finding.field == "s1_rest_low"
    assert "the gap at rest is 45.0 mm" in finding.message
    assert "lift 1.0 mm to 16.0 mm" in finding.message


def test_strings_within_reach_are_quiet():
    assert computed(one_section(**HIGH), "lift_beyond_cranks") == []
