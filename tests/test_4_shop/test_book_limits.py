"""Which rule values make sense: one step each side of every kind of limit."""

import pytest

from railwright.book.parameters import PARAMETERS, default_rules
from railwright.shop.book_limits import ABOVE_ZERO, disordered, expected_of

UNITS = {parameter.key: parameter.unit for parameter in PARAMETERS}
PAIRS = [("head_width_low", "head_width_high"), ("wire_low", "wire_high"), ("cable_low", "cable_high")]


def told(key, value):
    return expected_of(key, UNITS[key], value)


def test_every_upper_end_of_what_is_plausible_is_above_zero():
    ends = {parameter.key for parameter in PARAMETERS if parameter.key.endswith("_high")}
    assert ends <= ABOVE_ZERO
    assert all(told(key, 0.0) == "a number above 0" for key in ends - {"dampers_high"})
    assert all(told(key, 1.0) is None for key in ends)


def test_a_clearance_is_no_more_than_any_gap_leaves_and_a_keyboard_has_no_more_than_88_notes():
    """Common practice, no source."""
    assert [told("rest_clearance", value) for value in (-0.1, 0.0, 20.0, 20.1)] == ["0 to 20", None, None, "0 to 20"]
    assert [told("notes_total", value) for value in (59.0, 60.0, 88.0, 89.0)] == ["60 to 88", None, None, "60 to 88"]


def test_guide_screws_may_stand_on_either_side_of_the_wires():
    """But not farther than any carrier lies. Common practice, no source."""
    told_apart = [told("guide_screw_line", value) for value in (-20.1, -20.0, 0.0, 20.0, 20.1)]
    assert told_apart == ["-20 to 20", None, None, None, "-20 to 20"]


@pytest.mark.parametrize("key", ["slip_second", "slip_none", "working", "weak_power"])
def test_shares_go_up_to_one(key):
    assert (told(key, 1.0), told(key, 1.001)) == (None, "at most 1")


@pytest.mark.parametrize("key", ["screws_most", "serial_signs"])
def test_what_is_counted_is_whole(key):
    assert (told(key, 4.0), told(key, 4.5), told(key, -1.0)) == (None, "a whole number", "0 or more")


@pytest.mark.parametrize(("low", "high"), PAIRS)
def test_ends_of_a_range_stand_in_order(low, high):
    rules = default_rules()
    assert disordered(rules) == []
    top = rules[high]
    assert disordered(rules | {low: top - 0.01}) == []
    assert disordered(rules | {low: top}) == [(low, high)]
