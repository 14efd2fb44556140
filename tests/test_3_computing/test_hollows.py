"""Hollows over guide-rail screws: where they are cut, how long and how far in, and which carriers can bear them."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fit_samples import bass, fitted, in_the_way, section, survey, tenor, treble, with_rules
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.reliefs import edge_from_screws, hollow_reach, hollow_slot, wire_relief

BOOK = default_shop_book()


def ordinary(**more: object):
    return survey(bass(), tenor(), treble(**more))


@pytest.mark.parametrize(
    ("offset", "line", "edge"),
    [
        (8.45, 0.0, 2.45),  # behind the wires, from 2.45 to 14.45
        (-8.45, 0.0, 2.45),  # in front of them
        (8.45, 1.0, 1.45),  # screws towards the tail come nearer to a carrier there
        (-8.45, 1.0, 3.45),  # and go away from one in front
        (8.45, 4.0, -1.55),  # under the carrier
        (-8.45, -4.0, -1.55),
    ],
)
def test_edge_of_a_carrier_12_mm_wide(offset, line, edge):
    assert edge_from_screws(offset, 12.0, line) == pytest.approx(edge)


@pytest.mark.parametrize(
    ("edge", "reach"),
    [
        (2.45, 2.25),
        (4.69, 0.01),
        (4.7, 0.0),
        (9.0, 0.0),
        (0.0, 4.7),
        (-7.29, 11.99),
        (-7.3, 12.0),
        (-16.69, 12.0),
        (-16.71, 0.0),
    ],
)
def test_reach_of_a_hollow_of_9_4_mm_into_12(edge, reach):
    """Half of 9.4 is 4.7; beyond 16.7 mm the hollow lies past the carrier's other edge."""
    assert hollow_reach(9.4, edge, 12.0) == pytest.approx(reach)


@given(st.floats(1.0, 30.0), st.floats(-40.0, 40.0), st.floats(3.0, 30.0))
def test_what_is_cut_holds_the_whole_hollow(diameter, edge, width):
    """Every place of the carrier, counted from its edge at the wires, that lies under the hollow is cut."""
    reach = hollow_reach(diameter, edge, width)
    assert 0.0 <= reach <= width
    for place in (0.0, width / 3, width / 2, width):
        if abs(edge + place) < diameter / 2 - 1e-9:
            assert place <= reach


@pytest.mark.parametrize(("u", "slot"), [(0.0, 9.4), (0.25, 9.4), (0.5 / 1.96, 9.4), (0.5, 10.36), (1.0, 12.32)])
def test_slot_covers_the_doubt_that_the_clearance_does_not(u, slot):
    """Clearance 0.5 mm; at 95 % the screw stands within 1.96 u of its place."""
    assert hollow_slot(9.4, u, 0.5) == pytest.approx(slot)


def test_a_notch_goes_as_far_in_as_it_is_deep():
    notch = wire_relief(7.0, 0.4, 4.9, 3.0)
    assert (notch.reach_mm, notch.slot_mm, notch.width_mm, notch.depth_mm) == (3.0, 4.9, 4.9, 3.0)


def test_hollows_reach_in_from_the_edge_at_the_wires():
    """Wires of 2.9 mm, 1 mm clear of the carrier: its edge is 2.45 mm off, a hollow of 9.4 mm reaches 2.25 mm in."""
    for strut in (False, True):
        part = fitted(ordinary(screws=(7, 12), strut=strut)).sections[2]
        assert [relief.reach_mm for relief in part.reliefs] == pytest.approx([2.25, 2.25])
        for relief in part.reliefs:
            assert relief.slot_mm == pytest.approx(9.4 + 2 * (1.96 * relief.u_x_mm - 0.5))


def test_no_hollow_where_the_screws_stand_clear_of_the_carrier():
    part = fitted(ordinary(screws=(7, 12)), with_rules(BOOK, guide_screw_line=-2.3)).sections[2]
    assert part.foot_height_mm < 1.5 and part.side == "rear"
    assert part.reliefs == ()


def test_screws_under_the_middle_of_a_flat_ask_for_a_taller_foot():
    """A hollow all across would ruin it; on a foot of 3 mm the carrier passes over the heads."""
    aside, below = (fitted(ordinary(screws=(7, 12)), with_rules(BOOK, guide_screw_line=line)) for line in (0.0, 8.45))
    assert (aside.sections[2].foot, below.sections[2].foot) == ("HF-10", "HF-30")
    assert below.sections[2].reliefs == ()
    assert below.sections[2].cost >= aside.sections[2].cost
    assert in_the_way(below) == []


def test_a_carrier_that_loses_too_much_gives_way_to_a_dearer_one():
    """Of square tube 6 mm, a hollow 0.8 deep and 2.25 in takes more than an eighth, of 10 mm or 1.25 in less."""
    tubes = tuple(carrier for carrier in BOOK.carriers if carrier.item in ("RC-S06", "RC-S10"))
    feet = tuple(part for part in BOOK.hardware if part.item not in ("HF-30", "HF-50"))
    book = dataclasses.replace(BOOK, carriers=tubes, hardware=feet)
    of = survey(section(1, "tenor", 14, gauge=5 / 8, rest=3 / 4, screws=(6,)), treble(2, notes=20))
    chosen = [
        fitted(of, with_rules(book, guide_screw_line=line, guide_screw_proud=1.3)).sections[0] for line in (-1.0, 0.0)
    ]
    assert [part.carrier.item for part in chosen] == ["RC-S06", "RC-S10"]
    assert [part.reliefs[0].depth_mm for part in chosen] == pytest.approx([0.8, 0.8])
    assert chosen[0].cost < chosen[1].cost


def test_a_low_treble_with_two_screws_is_still_made():
    """1/4 in under the strings: the thinnest flat on the lowest foot, with hollows at its edge only."""
    low = section(3, "treble", 24, angle=92.0, gauge=1 / 4, rest=1 / 4, pitch=13.2, screws=(6, 14))
    result = fitted(survey(bass(), tenor(), low))
    assert in_the_way(result) == []
    assert (result.sections[2].carrier.item, len(result.sections[2].reliefs)) == ("RC-F15", 2)
