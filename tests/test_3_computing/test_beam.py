"""The beam on its stations, and what happens where the felt does not reach a string."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import lsq_linear

from railwright.computing.beam import Beam, bend, flexibility, press


def beam(stations=(20.0, 120.0), settlement=None, *, end=150.0, ei=5e5, weight=0.0) -> Beam:
    at = np.array(stations)
    down = np.zeros_like(at) if settlement is None else np.array(settlement)
    return Beam(0.0, end, ei, weight, at, down)


@st.composite
def loaded(draw: st.DrawFn) -> tuple[Beam, np.ndarray, np.ndarray]:
    gaps = draw(st.lists(st.floats(11.0, 16.0), min_size=4, max_size=16))
    points = 5.0 + np.cumsum(gaps)
    middles = (points[:-1] + points[1:]) / 2
    rows = draw(st.lists(st.integers(0, middles.size - 1), min_size=2, max_size=5, unique=True))
    forces = draw(st.lists(st.floats(0.0, 4.0), min_size=points.size, max_size=points.size))
    settlement = draw(st.lists(st.floats(-0.05, 0.05), min_size=len(rows), max_size=len(rows)))
    ei, weight = draw(st.floats(3e5, 2e7)), draw(st.floats(0.0, 0.01))
    whole = Beam(0.0, float(points[-1] + 5.0), ei, weight, np.sort(middles[rows]), np.array(settlement))
    return whole, points, np.array(forces)


def test_point_load_between_two_stations():
    """P L3 / 48 E I under a load in the middle, and half the load on either station."""
    bent = bend(beam((0.0, 100.0), end=100.0), np.array([50.0]), np.array([2.0]))
    assert bent.deflection == pytest.approx([2.0 * 100.0**3 / (48 * 5e5)])
    assert bent.reactions == pytest.approx([1.0, 1.0])


def test_load_on_an_overhanging_end():
    """P a2 (a + L) / 3 E I at the tip, and the far station pulls."""
    bent = bend(beam((0.0, 100.0), end=130.0), np.array([130.0]), np.array([2.0]))
    assert bent.deflection == pytest.approx([2.0 * 30.0**2 * 130.0 / (3 * 5e5)])
    assert bent.reactions == pytest.approx([-0.6, 2.6])


def test_settlements_on_a_line_bend_nothing():
    """Three stations that follow a straight line leave the beam straight, whatever its stiffness."""
    points = np.array([0.0, 35.0, 150.0])
    bent = bend(beam((20.0, 70.0, 120.0), (0.2, 0.7, 1.2)), points, np.zeros(3))
    assert bent.deflection == pytest.approx([0.0, 0.35, 1.5], abs=1e-9)
    assert bent.reactions == pytest.approx([0.0, 0.0, 0.0], abs=1e-6)


def test_a_string_right_above_a_station():
    bent = bend(beam(), np.array([20.0]), np.array([3.0]))
    assert bent.deflection == pytest.approx([0.0])
    assert bent.reactions == pytest.approx([3.0, 0.0], abs=1e-9)


@pytest.mark.parametrize(
    ("stations", "point", "words"),
    [((20.0,), 50.0, "two stations"), ((20.0, 120.0), 151.0, "beyond"), ((-1.0, 20.0), 50.0, "beyond")],
)
def test_beams_that_are_none(stations, point, words):
    with pytest.raises(ValueError, match=words):
        bend(beam(stations), np.array([point]), np.ones(1))


@settings(max_examples=40, deadline=None)
@given(loaded())
def test_forces_balance(of):
    """Reactions carry loads and weight, and their moment about the bass end, to 1e-9."""
    whole, points, forces = of
    bent = bend(whole, points, forces)
    length = whole.end - whole.start
    total, turning = forces.sum() + whole.weight * length, forces @ points + whole.weight * length**2 / 2
    scale = 1.0 + np.abs(bent.reactions).sum()
    assert abs(bent.reactions.sum() - total) <= 1e-9 * scale
    assert abs(bent.reactions @ whole.stations - turning) <= 1e-9 * scale * length


@settings(max_examples=40, deadline=None)
@given(loaded(), st.floats(1.01, 20.0))
def test_a_stiffer_carrier_never_bends_more(of, factor):
    whole, points, forces = of
    level = np.zeros_like(whole.settlement)
    soft = Beam(whole.start, whole.end, whole.ei, whole.weight, whole.stations, level)
    stiff = Beam(whole.start, whole.end, whole.ei * factor, whole.weight, whole.stations, level)
    most_soft, most_stiff = (np.abs(bend(b, points, forces).deflection).max() for b in (soft, stiff))
    assert most_stiff == pytest.approx(most_soft / factor, rel=1e-6, abs=1e-12)


@settings(max_examples=40, deadline=None)
@given(loaded())
def test_mirrored_beams_mirror(of):
    whole, points, forces = of
    turned = Beam(0.0, whole.end, whole.ei, whole.weight, (whole.end - whole.stations)[::-1], whole.settlement[::-1])
    one, two = bend(whole, points, forces), bend(turned, (whole.end - points)[::-1], forces[::-1])
    assert two.deflection[::-1] == pytest.approx(one.deflection, abs=1e-7)
    assert two.reactions[::-1] == pytest.approx(one.reactions, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(loaded())
def test_flexibility_is_symmetric(of):
    """Maxwell and Betti: a newton at one string bends the other as the other bends the first."""
    whole, points, _ = of
    supple = flexibility(whole, points)
    assert supple == pytest.approx(supple.T, abs=1e-10)
    assert np.linalg.eigvalsh((supple + supple.T) / 2).min() >= -1e-9


STRINGS = np.array([10.0, 40.0, 70.0, 100.0, 130.0])


def test_all_strings_reached_settles_at_once():
    contact = press(beam(), STRINGS, np.ones(5), np.full(5, 0.8))
    assert (contact.rounds, contact.converged) == (1, True)
    assert contact.force == pytest.approx(np.ones(5))
    assert contact.pressing.min() > 0.0


def test_a_string_far_above_presses_nothing():
    """One string half a millimetre too high carries no force, and the rest press as if it were not there."""
    above = np.array([0.8, 0.8, -0.5, 0.8, 0.8])
    contact = press(beam(), STRINGS, np.ones(5), above)
    alone = bend(beam(), STRINGS, np.array([1.0, 1.0, 0.0, 1.0, 1.0]))
    assert contact.converged
    assert contact.force == pytest.approx([1, 1, 0, 1, 1])
    assert contact.pressing == pytest.approx(above - alone.deflection)


def test_a_string_just_reached_carries_part_of_its_force():
    """Free it would be pressed, at full force it would not be: it takes what keeps the felt just touching."""
    bar = beam(ei=2e4)
    free = bend(bar, STRINGS, np.array([1.0, 1.0, 0.0, 1.0, 1.0])).deflection[2]
    full = bend(bar, STRINGS, np.ones(5)).deflection[2]
    above = np.array([5.0, 5.0, (free + full) / 2, 5.0, 5.0])
    contact = press(bar, STRINGS, np.ones(5), above)
    assert contact.converged
    assert contact.force[2] == pytest.approx(0.5, abs=1e-6)
    assert contact.pressing[2] == pytest.approx(0.0, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(loaded(), st.data())
def test_contact_against_a_bounded_least_squares_solver(of, data):
    """The equilibrium minimises f' C f / 2 - r' f within 0 <= f <= full; scipy's lsq_linear finds the same pressing."""
    whole, points, full = of
    full = full + 0.1
    above = np.array(data.draw(st.lists(st.floats(-0.3, 0.6), min_size=points.size, max_size=points.size)))
    contact = press(whole, points, full, above)
    supple = flexibility(whole, points)
    reach = above - bend(whole, points, np.zeros_like(full)).deflection
    root = np.linalg.cholesky((supple + supple.T) / 2 + 1e-12 * np.eye(points.size))
    other = lsq_linear(root.T, np.linalg.solve(root, reach), (0.0, full), tol=1e-14, max_iter=2000)
    energy = [f @ supple @ f / 2 - reach @ f for f in (contact.force, other.x)]
    assert contact.converged
    assert energy[0] <= energy[1] + 1e-7 * (1.0 + abs(energy[1]))
    touching = (contact.force > 1e-7) & (contact.force < full - 1e-7)
    assert (contact.pressing[contact.force <= 1e-7] <= 1e-6).all()
    assert (contact.pressing[contact.force >= full - 1e-7] >= -1e-6).all()
    assert np.abs(contact.pressing[touching]).max(initial=0.0) <= 1e-6


@pytest.mark.parametrize("seed", range(40))
def test_contact_settles_on_supple_bars_with_many_strings_in_doubt(seed):
    """Up to thirty strings around the felt's level on a soft bar: in the end each obeys, and the bar balances."""
    rng = np.random.default_rng(seed)
    points = np.cumsum(rng.uniform(12.0, 15.5, 30))
    stations = np.sort(rng.choice((points[1:] + points[:-1]) / 2, 2 + seed % 3, replace=False))
    whole = Beam(0.0, float(points[-1] + 5.0), 10.0 ** rng.uniform(5, 7), 0.002, stations, np.zeros(stations.size))
    full, above = rng.uniform(0.6, 3.6, 30), np.linspace(-1, 1, 30) * rng.uniform(-1, 1) + rng.normal(0, 0.1, 30)
    contact = press(whole, points, full, above)
    assert contact.converged
    assert (contact.pressing[contact.force <= 0.0] <= 1e-7).all()
    assert (contact.pressing[contact.force >= full] >= -1e-7).all()
    assert np.abs(contact.pressing[(contact.force > 0.0) & (contact.force < full)]).max(initial=0.0) <= 1e-7
    carried = contact.force.sum() + 0.002 * whole.end
    assert contact.bent.reactions.sum() == pytest.approx(carried, rel=1e-9)


def test_giving_up_is_said():
    contact = press(beam(ei=2e4), STRINGS, np.ones(5), np.array([5.0, 5.0, 0.2, 5.0, -0.2]), most_rounds=1)
    assert not contact.converged


@given(loaded())
def test_sag_is_the_largest_deflection_on_level_stations(of):
    whole, points, forces = of
    level = Beam(whole.start, whole.end, whole.ei, whole.weight, whole.stations, np.zeros_like(whole.stations))
    everywhere = np.concatenate([[whole.start], points, [whole.end]])
    alone = bend(level, everywhere, np.concatenate([[0.0], forces, [0.0]]))
    contact = press(whole, points, forces, np.full(points.size, 100.0))
    assert contact.sag_mm == pytest.approx(np.abs(alone.deflection).max(), rel=1e-9, abs=1e-12)
