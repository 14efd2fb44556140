"""Which reading decides, against turning points worked out by hand."""

from __future__ import annotations

import dataclasses

import pytest

from fit_samples import INCH, bass, fitted, in_the_way, survey, tenor, treble
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.compute import compute
from railwright.computing.outcome import outcome_of
from railwright.computing.sensitivity import READINGS, deciding_turns, section_state, turning_points

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


def deciding(of, number: int):
    """The turns that go into the results, each as field, whether up, and the state after it."""
    part = compute(of, BOOK).sections[number - 1]
    return {(turn.field, turn.change_mm > 0, turn.after): turn.change_mm for turn in part.turning}


def test_a_tight_treble_is_told_what_would_hold_it():
    """5.85 mm are free and 4.5 + 0.5 are needed: 0.85 less at either end holds; more at one end alone releases nothing.

    The turn is found to 0.1 mm, on the far side of it.
    """
    found = deciding(survey(bass(), tenor(), small(gauge=None, rest=1 / 4)), 3)
    assert set(found) == {("s3_rest_low", False, "hold"), ("s3_rest_high", False, "hold")}
    assert all(-0.95 - 1e-9 <= change <= -0.85 for change in found.values())


def test_a_tilt_beyond_doubt_is_told_which_gap_would_do():
    """Either end moved towards the other; with the reading so changed the section comes out as foretold."""
    of = survey(bass(), tenor(), small(gauge=3 / 8, rest=(5 / 8, 3 / 8)))
    found = deciding(of, 3)
    assert set(found) == {("s3_rest_low", False, "confirm"), ("s3_rest_high", True, "confirm")}
    for (field, _, state), change in found.items():
        name = field.removeprefix("s3_") + "_mm"
        for off, expected in ((change, state), (change * 0.9, "hold")):
            part = dataclasses.replace(of.sections[2], **{name: getattr(of.sections[2], name) + off})
            assert section_state(survey(bass(), tenor(), part), 3, BOOK) == expected


def test_an_end_without_room_is_told_how_much_more_it_needs():
    """The plate keeps 2 mm, and 1.2 were read."""
    found = deciding(survey(bass(), tenor(), small(room_low_mm=1.2)), 3)
    assert set(found) == {("s3_room_low", True, "release")}
    assert 0.8 <= found["s3_room_low", True, "release"] <= 0.9


def test_a_release_with_little_to_spare_is_told_how_little():
    """A block of 1/4 in: 6.35 - 4.5 - 0.5 - 1.645 x 0.1 leaves 1.19 mm at either end; the turn is told just beyond."""
    found = deciding(survey(bass(), tenor(), small(gauge=1 / 4, rest=1 / 4)), 3)
    assert set(found) == {("s3_gauge_low", False, "confirm"), ("s3_gauge_high", False, "confirm")}
    assert all(change == pytest.approx(-1.1855 - 0.05) for change in found.values())


def test_parts_that_use_up_the_height_may_give_way_to_lower_ones():
    """In 8 mm of clear gauge 6 mm of parts leave 1.3 mm; with less than that lower ones serve, so nothing turns."""
    of = survey(bass(), tenor(), small(gauge=8 / INCH, rest=1 / 2))
    part = compute(of, BOOK).sections[2]
    assert 8 - 0.5 - 0.1645 - part.stack_low_mm < 1.6
    assert part.turning == ()


def test_a_released_section_is_not_fitted_again(monkeypatch):
    monkeypatch.setattr("railwright.computing.sensitivity.outcome_of", None)
    assert deciding(survey(bass(), tenor(), small()), 3) == {}


def test_a_section_that_took_long_is_not_fitted_again(monkeypatch):
    of = survey(bass(), tenor(), small(gauge=None, rest=1 / 4))
    part = compute(of, BOOK).sections[2]
    monkeypatch.setattr("railwright.computing.sensitivity.outcome_of", None)
    assert deciding_turns(of, dataclasses.replace(part, searched_strings=100_001), BOOK) == ()
    with pytest.raises(TypeError):
        deciding_turns(of, part, BOOK)


def test_fits_that_take_long_on_the_way_are_given_up(monkeypatch):
    of = survey(bass(), tenor(), small(gauge=None, rest=1 / 4))
    part = compute(of, BOOK).sections[2]
    assert part.turning != ()
    monkeypatch.setattr("railwright.computing.sensitivity._MOST_STRINGS_A_FIT", 0)
    assert deciding_turns(of, part, BOOK) == ()


@pytest.mark.parametrize(("rest", "followed"), [(1.3, True), (1.4, False)])
def test_a_lift_far_beyond_the_cranks_is_not_followed(rest, followed, monkeypatch):
    """The cranks lift 16 mm at most; 19.1 may be a reading that is 1/8 in off, 21.7 may not."""
    of = survey(bass(rest=rest), tenor(), small())
    part = compute(of, BOOK).sections[0]
    assert "lift_beyond_cranks" in [conflict.rule for conflict in part.conflicts]
    fitted_again = []

    def spy(*given):
        fitted_again.append(given)
        return outcome_of(*given)

    monkeypatch.setattr("railwright.computing.sensitivity.outcome_of", spy)
    deciding_turns(of, part, BOOK)
    assert bool(fitted_again) is followed
