from helpers_checking import book, computed, one_section


def test_more_force_than_a_hand_should_give():
    (finding,) = computed(one_section(), "lever_too_heavy", book(lever_force=0.5))
    assert (finding.field, finding.severity) == (None, "fix")
    assert finding.message.startswith("The hand lever would need")
    assert "0.5 N is the limit" in finding.message


def test_the_lever_ratio_that_it_names_would_do():
    (finding,) = computed(one_section(), "lever_too_heavy", book(lever_force=0.5))
    ratio = float(finding.message.split("A lever ratio of ")[1].split()[0])
    assert computed(one_section(), "lever_too_heavy", book(lever_force=0.5, lever_ratio=ratio + 0.1)) == []
    assert len(computed(one_section(), "lever_too_heavy", book(lever_force=0.5, lever_ratio=ratio - 0.1))) == 1


def test_the_usual_lever_is_quiet():
    assert computed(one_section(), "lever_too_heavy") == []
