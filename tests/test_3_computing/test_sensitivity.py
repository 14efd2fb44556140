"""Which reading decides, against turning points worked out by hand."""

from __future__ import annotations

import dataclasses

import pytest

from fit_samples import INCH, bass, fitted, in_the_way, survey, tenor, treble
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.sensitivity import READINGS, section_state, turning_points

BOOK = default_shop_book()


def small(**more: object):
    """A treble of twelve notes, so that it is quickly fitted over and over."""
    return treble(dampers=12, notes=12, **more)


def turns(of, number: int, *names: str) -> dict[tuple[str, bool], object]:
    return {(turn.field, turn.change_mm > 0): turn for turn in turning_points(of, number, BOOK, names or READINGS)}


@pytest.mark.parametrize(
    ("part", "state"),
    [
        (small(), "release"),
        (small(gauge=None, rest=1 / 4), "confirm"),
        (small(gauge=None, rest=3 / 16), "hold"),
        (small(gauge=None, rest=None), "hold"),
    ],
)
def test_state_of_one_section(part, state):
    assert section_state(survey(bass(), tenor(), part), 3, BOOK) == state


def test_a_block_of_a_quarter_inch_may_be_so_much_thinner():
    """4.5 mm of parts, 0.5 clearance and 1.645 x 0.1 guard need a block of 5.1645 mm: 1.1855 less than 6.35."""
    of = survey(bass(), tenor(), small(gauge=1 / 4, rest=1 / 4))
    turn = turns(of, 3, "gauge_low")["s3_gauge_low", False]
    assert turn.change_mm == pytest.approx(-1.1855, abs=0.011)
    assert (turn.before, turn.after) == ("release", "confirm")


def test_a_rest_gap_in_doubt_must_be_so_much_larger():
    """At 1/8 in: 4.5 + 0.5 + 1.645 u + 0.5 of swing, and half a shim step as the gap is tilted."""
    of = survey(bass(), tenor(), small(gauge=None, rest=(1 / 4, 0.29)))
    turn = turns(of, 3, "rest_low")["s3_rest_low", True]
    assert turn.after == "release"
    assert turn.change_mm == pytest.approx(5.55 + 1.645 * 1.000_02 - 6.35, abs=0.02)


def test_turned_readings_turn_the_instrument():
    """On the far side of every turn the whole instrument comes out as foretold."""
    of = survey(bass(), tenor(), small(gauge=1 / 4, rest=1 / 4))
    found = turning_points(of, 3, BOOK, ("gauge_low", "rest_low", "rest_high"))
    assert found == tuple(sorted(found, key=lambda turn: abs(turn.change_mm)))
    for turn in found:
        name = turn.field.removeprefix("s3_") + "_mm"
        value = getattr(of.sections[2], name) + turn.change_mm
        changed = survey(bass(), tenor(), dataclasses.replace(of.sections[2], **{name: value}))
        assert (in_the_way(fitted(changed)) == []) is (turn.after == "release")


def test_a_reading_with_much_to_spare_has_no_turn_nearby():
    """A clear gauge of 5/8 in in the tenor is 5 mm more than the chosen parts need, and lower parts exist."""
    assert ("s2_gauge_low", False) not in turns(survey(bass(), tenor(), small()), 2, "gauge_low")


def test_readings_that_were_not_taken_have_no_turn():
    found = turns(survey(bass(), tenor(), small(gauge=None, rest=1 / 4), step=INCH / 32), 3)
    assert not {field for field, _ in found} & {"s3_gauge_low", "s3_gauge_high", "s3_room_low"}
