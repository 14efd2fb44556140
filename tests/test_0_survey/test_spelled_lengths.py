from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from railwright.survey.lengths import round_to_step, spell_length


@pytest.mark.parametrize(
    ("mm", "step", "spelled"),
    [
        (88.9, 3.175, "3 1/2 in"),
        (307.975, 3.175, "12 1/8 in"),
        (9.525, 3.175, "3/8 in"),
        (12.7, 1.5875, "1/2 in"),
        (25.4, 3.175, "1 in"),
        (0.5, 3.175, "0 in"),
        (-0.5, 3.175, "0 in"),
        (-12.7, 3.175, "-1/2 in"),
        (26.19375, 0.79375, "1 1/32 in"),
    ],
)
def test_inches(mm, step, spelled):
    assert spell_length(mm, "in", step) == spelled


@pytest.mark.parametrize(
    ("mm", "step", "spelled"),
    [(308.2, 1.0, "308 mm"), (307.6, 0.5, "307.5 mm"), (308.24, 0.0, "308.2 mm"), (308.24, 3.175, "308.2 mm")],
)
def test_millimetres(mm, step, spelled):
    assert spell_length(mm, "mm", step) == spelled


def test_no_unit_is_spelled_in_millimetres():
    assert spell_length(12.0, None, 1.0) == "12 mm"


def test_an_inch_sheet_read_to_no_fraction_gets_thirty_seconds():
    assert spell_length(26.19375, "in", 1.0) == "1 1/32 in"


# Nearest eighths of lengths in mm: 100 -> 31/8, 250 -> 79/8, 607.5 -> 191/8, 1222.375 -> 385/8, 1228 -> 387/8, 1 -> 0;
# exact arithmetic on the inch of 25.4 mm (international yard and pound agreement, 1959).
@pytest.mark.parametrize(("mm", "eighths"), [(100, 31), (250, 79), (607.5, 191), (1222.375, 385), (1228, 387), (1, 0)])
def test_nearest_eighths(mm, eighths):
    assert round_to_step(mm, 25.4 / 8) == pytest.approx(eighths * 25.4 / 8)


# Ties: 1/16 in goes up to 1/8 in (rule B of ISO 80000-1 annex B, from memory); half-even would give 0.
@pytest.mark.parametrize(
    ("mm", "spelled"), [(1.5875, "1/8 in"), (1.58, "0 in"), (4.7625, "1/4 in"), (-1.5875, "-1/8 in")]
)
def test_ties_go_up(mm, spelled):
    assert spell_length(mm, "in", 3.175) == spelled


def test_a_step_must_be_above_zero():
    with pytest.raises(ValueError, match="above 0"):
        round_to_step(1.0, 0.0)


@given(st.integers(0, 4000), st.sampled_from([8, 16, 32]))
def test_a_length_on_a_mark_is_spelled_exactly(marks, parts):
    text = spell_length(marks * 25.4 / parts, "in", 25.4 / parts)
    assert sum(Fraction(word) for word in text.removesuffix(" in").split()) == Fraction(marks, parts)


@given(st.floats(0, 1e4), st.sampled_from([3.175, 1.5875, 1.0, 0.5]))
def test_rounding_moves_at_most_half_a_step(mm, step):
    assert abs(round_to_step(mm, step) - mm) <= step / 2 * (1 + 1e-6)
