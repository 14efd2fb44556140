"""The carrier as a continuous beam on its stations: direct stiffness with two-node Euler-Bernoulli elements.

Deflection is positive downward and measured from the level of the stations' target line; a station's settlement
(its shim rounded down, say) is a prescribed deflection there. Loads are point forces, positive downward, and the
beam's own weight. Matrices: the cubic-Hermite beam element of every textbook on the direct stiffness method.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from railwright.computing.results import Array

_SAME_MM = 1e-6
"""Nodes closer than this are one node: a sliver of an element would spoil the solution."""
_TOUCH_MM = 1e-9
"""Felt just touches a string that it misses or presses by no more than this."""
_RIGID = 1e-12
"""Strings that a newton moves by less stand right above a station, mm/N."""


@dataclass(frozen=True, slots=True)
class Beam:
    """A beam of stiffness ``ei`` (N mm2) and weight ``weight`` (N/mm) from ``start`` to ``end`` on ``stations`` (mm).

    ``settlement`` is the prescribed deflection of every station, mm, positive downward.
    """

    start: float
    end: float
    ei: float
    weight: float
    stations: Array
    settlement: Array


@dataclass(frozen=True, slots=True)
class Bent:
    """A loaded beam: ``deflection`` at the asked points (mm, down), ``reactions`` of the stations (N, up)."""

    deflection: Array
    reactions: Array


@dataclass(frozen=True, slots=True)
class Contact:
    """Who presses: ``force`` on every string (N), ``pressing`` of the felt there (mm), rounds, and if it settled.

    ``sag_mm`` is the largest deflection at a string or an end under the same forces were all stations level.
    """

    force: Array
    pressing: Array
    bent: Bent
    sag_mm: float
    rounds: int
    converged: bool


def element_stiffness(lengths: Array, ei: float) -> Array:
    """Stiffness of beam elements for deflection and slope at both nodes.

    Args:
        lengths: of the elements, shape (m,), mm.
        ei: bending stiffness, N mm2.

    Returns:
        Matrices, shape (m, 4, 4); rows and columns are deflection and slope at the first and at the second node, so
        that entries are in N/mm, N and N mm.
    """
    a = lengths
    rows = np.array(
        [
            [12.0 / a**3, 6.0 / a**2, -12.0 / a**3, 6.0 / a**2],
            [6.0 / a**2, 4.0 / a, -6.0 / a**2, 2.0 / a],
            [-12.0 / a**3, -6.0 / a**2, 12.0 / a**3, -6.0 / a**2],
            [6.0 / a**2, 2.0 / a, -6.0 / a**2, 4.0 / a],
        ]
    )
    stiffness: Array = ei * np.moveaxis(rows, -1, 0)
    return stiffness


def element_load(lengths: Array, weight: float) -> Array:
    """Nodal forces (N) and moments (N mm) that stand for a uniform load (N/mm) on elements, shape (m, 4)."""
    ends = np.stack([np.ones_like(lengths), lengths / 6, np.ones_like(lengths), -lengths / 6], axis=-1)
    load: Array = weight * lengths[:, None] / 2 * ends
    return load


def bend(beam: Beam, points: Array, forces: Array) -> Bent:
    """Deflect a beam under its weight and point forces.

    Args:
        beam: geometry, stiffness, weight, stations with settlements; two stations at least.
        points: where the forces act and the deflection is asked, shape (m,), between start and end, mm.
        forces: the forces, shape (m,), N, positive downward.

    Returns:
        Deflections at the points and reactions of the stations.

    Raises:
        ValueError: fewer than two stations, or a point or station beyond the beam.
    """
    deflections, reactions = _solve(beam, points, forces[:, None], beam.settlement[:, None])
    return Bent(deflections[:, 0], reactions[:, 0])


def flexibility(beam: Beam, points: Array) -> Array:
    """Deflection at every point (row) for one newton at every point (column), shape (m, m), mm/N."""
    bare = replace(beam, weight=0.0)
    return _solve(bare, points, np.eye(points.size), np.zeros((beam.stations.size, points.size)))[0]


def _bent_and_sag(beam: Beam, points: Array, forces: Array) -> tuple[Bent, float]:
    """Deflect a beam as it is, and in one go the same beam on level stations: its largest deflection, ends included."""
    every = np.concatenate([[beam.start], points, [beam.end]])
    loads = np.concatenate([[0.0], forces, [0.0]])
    settlements = np.stack([beam.settlement, np.zeros_like(beam.settlement)], axis=1)
    deflections, reactions = _solve(beam, every, np.stack([loads, loads], axis=1), settlements)
    return Bent(deflections[1:-1, 0], reactions[:, 0]), float(np.abs(deflections[:, 1]).max())


def _solve(beam: Beam, points: Array, forces: Array, settlements: Array) -> tuple[Array, Array]:
    """Deflections at the points and reactions for several columns of forces and settlements at once."""
    _check(beam, points)
    nodes, stiffness, own = _assembled(beam, points)
    at_points, at_stations = _nearest(nodes, points), _nearest(nodes, beam.stations)
    load = np.repeat(own[:, None], forces.shape[1], axis=1)
    np.add.at(load, 2 * at_points, forces)
    held = 2 * at_stations
    is_free = np.ones(own.size, dtype=np.bool_)
    is_free[held] = False
    free = np.flatnonzero(is_free)
    moved = np.zeros_like(load)
    moved[held] = settlements
    moved[free] = np.linalg.solve(
        stiffness[np.ix_(free, free)], load[free] - stiffness[np.ix_(free, held)] @ moved[held]
    )
    reactions = load[held] - stiffness[held] @ moved
    return moved[2 * at_points], reactions


def _check(beam: Beam, points: Array) -> None:
    if beam.stations.size < 2:
        raise ValueError("a beam needs two stations")
    every = np.concatenate([points, beam.stations])
    if every.min() < beam.start or every.max() > beam.end:
        raise ValueError("a load or station stands beyond the beam")


def _nearest(nodes: Array, places: Array) -> NDArray[np.intp]:
    found: NDArray[np.intp] = np.abs(nodes[None, :] - places[:, None]).argmin(axis=1)
    return found


def _assembled(beam: Beam, points: Array) -> tuple[Array, Array, Array]:
    """Nodes at the ends, stations and points; the stiffness of all elements together; their own weight."""
    every = np.unique(np.concatenate([[beam.start, beam.end], beam.stations, points]))
    nodes = every[np.concatenate([[True], np.diff(every) > _SAME_MM])]
    lengths = np.diff(nodes)
    freedoms = 2 * np.arange(lengths.size)[:, None] + np.arange(4)
    stiffness, own = np.zeros((2 * nodes.size, 2 * nodes.size)), np.zeros(2 * nodes.size)
    np.add.at(stiffness, (freedoms[:, :, None], freedoms[:, None, :]), element_stiffness(lengths, beam.ei))
    np.add.at(own, freedoms, element_load(lengths, beam.weight))
    return nodes, stiffness, own


def press(beam: Beam, points: Array, forces: Array, unloaded_pressing: Array, most_rounds: int = 500) -> Contact:
    """Press a segment against its strings; a string that is not reached presses nothing.

    A string pushes back with its full force where the felt is pressed, with none where the felt hangs clear, and with
    what it takes to keep the felt just touching in between: the unique equilibrium of a convex problem. The set of the
    strings that just touch is changed one string a round until every string obeys this; the usual case, all strings
    reached, is settled in the first round.

    Args:
        beam: the segment.
        points: where the strings cross, shape (m,), mm.
        forces: full force of every string, shape (m,), N.
        unloaded_pressing: how far the felt of the unbent segment would reach above every string, shape (m,), mm.
        most_rounds: rounds after which to give up.

    Returns:
        Forces, pressing and the bent beam; ``converged`` says whether every string obeys.
    """
    bent, sag = _bent_and_sag(beam, points, forces)
    pressing = unloaded_pressing - bent.deflection
    if (pressing > 0.0).all():
        return Contact(forces, pressing, bent, sag, 1, True)
    supple = flexibility(beam, points)
    reach = unloaded_pressing - bend(beam, points, np.zeros_like(forces)).deflection
    carried, rounds, settled = _settled(_Strings((supple + supple.T) / 2, reach, forces), most_rounds)
    bent, sag = _bent_and_sag(beam, points, carried)
    return Contact(carried, unloaded_pressing - bent.deflection, bent, sag, rounds, settled)


class _Strings(NamedTuple):
    """Flexibility between the strings, how far the felt reaches above each under no load, and their full forces."""

    supple: Array
    reach: Array
    full: Array


def _settled(strings: _Strings, most_rounds: int) -> tuple[Array, int, bool]:
    """Primal active-set method for reach - supple f = pressing with 0 <= f <= full and complementary pressing.

    Every round either moves the touching strings to their equilibrium, or as far as the first of them allows, which
    then stays at its limit; or it lets go the string that disobeys most. The energy falls with every move, so no set
    comes twice (Nocedal and Wright, Numerical Optimization, 2nd ed., section 16.5, from memory).
    """
    supple, reach, full = strings
    force = np.where(reach > 0.0, full, 0.0)
    touching = np.zeros(force.size, dtype=np.bool_)
    for rounds in range(2, most_rounds + 2):
        if touching.any() and not _moved(strings, force, touching):
            continue
        left = reach - supple @ force
        # a string right above a station feels no load, so letting it go would change nothing
        wrong = np.where(force >= full, -left, left) * (~touching & (np.diag(supple) > _RIGID) & (full > 0.0))
        worst = int(wrong.argmax())
        if wrong[worst] <= _TOUCH_MM:
            return force, rounds, True
        touching[worst] = True
    return force, most_rounds, False


def _moved(strings: _Strings, force: Array, touching: NDArray[np.bool_]) -> bool:
    """Move the touching strings' forces towards equilibrium, in place; whether they all got there."""
    supple, reach, full = strings
    rows, held = np.flatnonzero(touching), np.flatnonzero(~touching)
    level = np.linalg.solve(supple[np.ix_(rows, rows)], reach[rows] - supple[np.ix_(rows, held)] @ force[held])
    way = level - force[rows]
    limit = np.where(way > 0.0, full[rows], 0.0)
    room = np.divide(limit - force[rows], way, out=np.full(rows.size, np.inf), where=way != 0.0)
    first = int(room.argmin())
    if room[first] >= 1.0:
        force[rows] = level
        return True
    force[rows] += room[first] * way
    force[rows[first]] = limit[first]
    touching[rows[first]] = False
    return False
