"""Side by side with PyNite (PyNiteFEA), a frame-analysis library by other hands: random segments on random stations."""

from __future__ import annotations

import numpy as np
import pytest
from Pynite import FEModel3D

from railwright.computing.beam import Beam, bend


def by_pynite(beam: Beam, points: np.ndarray, forces: np.ndarray):
    """The same beam as a frame in the x-y plane; y is up, so deflections change sign."""
    model = FEModel3D()
    e = 1000.0
    model.add_material("bar", e, e / 2.6, 0.3, 1e-12)
    model.add_section("bar", 1.0, 1.0, beam.ei / e, 1.0)
    nodes = np.unique(np.concatenate([[beam.start, beam.end], beam.stations, points]))
    names = {x: f"N{i}" for i, x in enumerate(nodes)}
    for x, name in names.items():
        model.add_node(name, x, 0.0, 0.0)
    for i in range(nodes.size - 1):
        model.add_member(f"M{i}", f"N{i}", f"N{i + 1}", "bar", "bar")
        model.add_member_dist_load(f"M{i}", "Fy", -beam.weight, -beam.weight)
    for i, (x, settlement) in enumerate(zip(beam.stations, beam.settlement, strict=True)):
        model.def_support(names[x], i == 0, True, True, i == 0, False, False)
        model.def_node_disp(names[x], "DY", -settlement)
    for x, force in zip(points, forces, strict=True):
        model.add_node_load(names[x], "FY", -force)
    model.analyze_linear()
    deflection = [-model.nodes[names[x]].DY["Combo 1"] for x in points]
    return np.array(deflection), np.array([model.nodes[names[x]].RxnFY["Combo 1"] for x in beam.stations])


def random_segment(seed: int):
    """A segment of 6 to 24 strings on two to six stations between them, with shims that miss their line a little."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(6, 25))
    points = np.cumsum(rng.uniform(12.0, 15.5, count))
    gaps = (points[:-1] + points[1:]) / 2 + rng.uniform(-2.0, 2.0)
    stations = np.sort(rng.choice(gaps, int(rng.integers(2, min(7, count - 1))), replace=False))
    settlement = rng.uniform(-0.05, 0.05, stations.size)
    start, end = float(points[0] - rng.uniform(3.0, 9.0)), float(points[-1] + rng.uniform(3.0, 9.0))
    beam = Beam(start, end, float(rng.uniform(3e5, 2e7)), float(rng.uniform(0.0, 0.01)), stations, settlement)
    return beam, points, rng.uniform(0.6, 3.6, count)


@pytest.mark.parametrize("seed", range(50))
def test_fifty_random_stationings(seed):
    """Deflections and reactions agree within a millionth of the largest."""
    beam, points, forces = random_segment(seed)
    bent = bend(beam, points, forces)
    deflection, reactions = by_pynite(beam, points, forces)
    assert bent.deflection == pytest.approx(deflection, abs=1e-6 * np.abs(deflection).max())
    assert bent.reactions == pytest.approx(reactions, abs=1e-6 * np.abs(reactions).max())
    assert bent.reactions.sum() == pytest.approx(forces.sum() + beam.weight * (beam.end - beam.start), rel=1e-9)
