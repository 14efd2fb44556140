"""Where a foot may stand: one step each side of the narrowest gap, screws, and the continued rail."""

from __future__ import annotations

import numpy as np
import pytest

from railwright.computing.reliefs import hollow_depth, hollow_width, notch_width
from railwright.computing.results import Spacing
from railwright.computing.stations import FootRoom, gap_places, gap_spare, joined, rail_places, screw_places

ROOM = FootRoom(5.0, 2.9, 1.0, 3.0)


def spacing(gaps: list[float], u95: float = 0.0) -> Spacing:
    x = 4.75 + np.concatenate([[0.0], np.cumsum(gaps)])
    return Spacing(x, np.eye(x.size) * (u95 / 1.959963984540054) ** 2, float(np.mean(gaps)), 0.1, 9.5, 0.1)


@pytest.mark.parametrize(("gap", "fits"), [(9.9, True), (9.89, False)])
def test_narrowest_gap(gap, fits):
    """Foot 5, wire 2.9 and a clearance of 1 on either side need 9.9 mm."""
    assert gap_places(spacing([13.0, gap, 13.0]), ROOM, ()).gap == ((1, 2, 3) if fits else (1, 3))


@pytest.mark.parametrize(("u95", "fits"), [(3.0, True), (4.5, True), (4.6, False)])
def test_only_doubt_beyond_the_slot_counts(u95, fits):
    """13 mm leave 1.55 mm on either side; the slot takes up 3 mm of doubt."""
    assert bool(gap_places(spacing([13.0], u95), ROOM, ()).gap) is fits
    assert gap_spare(spacing([13.0], u95), ROOM)[0] == pytest.approx(1.55 - max(u95 - 3.0, 0.0), abs=1e-9)


def test_foot_stands_in_the_middle_of_its_gap():
    assert gap_places(spacing([13.0, 14.0]), ROOM, ()).x_mm == pytest.approx([4.75 + 6.5, 4.75 + 13.0 + 7.0])


@pytest.mark.parametrize(
    ("above", "gap", "x"),
    [
        (1, 3, 4.75 + 26 + 7),
        (2, 2, 4.75 + 13 + 6.5),
        (3, 1, 4.75 + 6.5),
        (0, 4, 4.75 + 40 + 20 / 3),
        (4, 0, 4.75 - 20 / 3),
    ],
)
def test_screw_by_heads_above_it(above, gap, x):
    """Four heads at 13, 13, 14: k heads above is gap n - k; 0 and n are half a pitch outside."""
    (screw,) = screw_places(spacing([13.0, 13.0, 14.0]), (above,))
    assert (screw.gap, screw.heads_above) == (gap, above)
    assert screw.x_mm == pytest.approx(x)


def test_screws_outside_the_section_are_left_out():
    assert screw_places(spacing([13.0, 13.0]), (4, 7, -1)) == ()


def test_no_station_on_a_screw():
    wires = spacing([13.0] * 4)
    assert gap_places(wires, ROOM, screw_places(wires, (1, 3))).gap == (1, 3)
    assert gap_places(wires, ROOM, screw_places(wires, (0, 5))).gap == (1, 2, 3, 4)


def test_uncertainty_of_a_screw_follows_both_wires():
    """Two wires that err together by 0.5 mm: so does the middle. Apart, it errs by 0.5 over root 2."""
    x, both = np.array([5.0, 18.0]), np.full((2, 2), 0.25)
    together = Spacing(x, both, 13.0, 0.1, 9.5, 0.1)
    apart = Spacing(x, np.eye(2) * 0.25, 13.0, 0.1, 9.5, 0.1)
    assert screw_places(together, (1,))[0].u_mm == pytest.approx(0.5)
    assert screw_places(apart, (1,))[0].u_mm == pytest.approx(0.5 / np.sqrt(2))


def test_continued_rail():
    """Midway between notes, within the limits, off the screw."""
    notes = np.array([100.0, 114.0, 128.0, 142.0])
    assert rail_places(notes, 100.0, 140.0, ()).x_mm.tolist() == [107.0, 121.0, 135.0]
    assert rail_places(notes, 107.1, 134.9, ()).x_mm.tolist() == [121.0]
    assert rail_places(notes, 100.0, 140.0, [(107.0, 7.2)]).x_mm.tolist() == [121.0, 135.0]
    assert rail_places(notes, 100.0, 140.0, [(113.0, 8.0)]).x_mm.tolist() == [121.0, 135.0]
    assert rail_places(notes, 100.0, 140.0, ()).gap == (0, 0, 0)


def test_wires_then_rail():
    both = joined(gap_places(spacing([13.0]), ROOM, ()), rail_places(np.array([17.75, 31.75]), 0.0, 99.0, ()))
    assert both.gap == (1, 0)
    assert both.x_mm.tolist() == pytest.approx([11.25, 24.75])


@pytest.mark.parametrize(("above", "depth"), [(1.0, 1.0), (1.49, 0.51), (1.5, 0.0), (3.0, 0.0)])
def test_hollow_over_a_proud_head(above, depth):
    """A head 1.5 mm proud with half a millimetre of clearance."""
    assert hollow_depth(1.5, above, 0.5) == pytest.approx(depth)


def test_widths_of_hollow_and_notch():
    assert hollow_width(8.4, 0.5) == pytest.approx(9.4)
    assert notch_width(2.9, 1.0) == pytest.approx(4.9)
