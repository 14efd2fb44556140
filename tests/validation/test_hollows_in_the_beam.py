"""How little the beam misses by leaving hollows out: the same beam with weakened pieces in PyNite (PyNiteFEA)."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest
from Pynite import FEModel3D

from fit_samples import in_the_way, section, segments, survey
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.beam import Beam, bend
from railwright.computing.choice import MOST_LOST
from railwright.computing.fit import fit_instrument, pressed
from railwright.computing.notes_of_sections import notes_of
from railwright.computing.outcome import outcome_of
from railwright.computing.pockets import stiffness_lost
from railwright.computing.results import Relief
from railwright.computing.spacing import posterior

BOOK = default_shop_book()
#: Two screws in a treble of 24 dampers with 1/4 in under the strings: the thinnest flat with two hollows.
LOW = survey(
    section(1, "bass", 19, angle=78.0, gauge=5 / 8, rest=7 / 8, pitch=13.8),
    section(2, "tenor", 18, angle=86.0, gauge=5 / 8, rest=3 / 4, pitch=13.5),
    section(3, "treble", 24, angle=92.0, gauge=1 / 4, rest=1 / 4, pitch=13.2, screws=(6, 14)),
)


def with_hollows(
    beam: Beam, points: np.ndarray, forces: np.ndarray, slots: Sequence[tuple[float, float]], lost: float
) -> np.ndarray:
    """Deflections at the points, mm down; pieces inside a slot (from, to) have lost that share of their stiffness."""
    model = FEModel3D()
    model.add_material("bar", 1000.0, 400.0, 0.25, 1e-12)
    model.add_section("whole", 1.0, 1.0, beam.ei / 1000.0, 1.0)
    model.add_section("hollowed", 1.0, 1.0, beam.ei * (1.0 - lost) / 1000.0, 1.0)
    edges = np.clip(np.array(slots).ravel(), beam.start, beam.end)
    nodes = np.unique(np.round(np.concatenate([[beam.start, beam.end], beam.stations, points, edges]), 6))
    names = {round(float(x), 6): f"N{i}" for i, x in enumerate(nodes)}
    for x, name in names.items():
        model.add_node(name, x, 0.0, 0.0)
    for i, (left, right) in enumerate(pairwise(nodes)):
        hollowed = any(low < (left + right) / 2 < high for low, high in slots)
        model.add_member(f"M{i}", f"N{i}", f"N{i + 1}", "bar", "hollowed" if hollowed else "whole")
        model.add_member_dist_load(f"M{i}", "Fy", -beam.weight, -beam.weight)
    for i, (x, settlement) in enumerate(zip(beam.stations, beam.settlement, strict=True)):
        name = names[round(float(x), 6)]
        model.def_support(name, i == 0, True, True, i == 0, False, False)
        model.def_node_disp(name, "DY", -settlement)
    for x, force in zip(points, forces, strict=True):
        model.add_node_load(names[round(float(x), 6)], "FY", -force)
    model.analyze_linear()
    return np.array([-model.nodes[names[round(float(x), 6)]].DY["Combo 1"] for x in points])


@pytest.fixture(scope="module")
def fitted_beam() -> tuple[Beam, np.ndarray, np.ndarray, tuple[Relief, ...], float, float]:
    """Beam, strings, forces, hollows, the shift from wires to strings and the least pressing of the low treble."""
    spacings = {part.number: posterior(part, LOW, BOOK) for part in LOW.sections}
    result, _ = fit_instrument(LOW, spacings, notes_of(LOW), {}, BOOK)
    assert in_the_way(result) == []
    part = result.sections[2]
    assert part.carrier is not None and part.carrier.item == "RC-F15" and len(part.reliefs) == 2
    segment = segments(LOW, BOOK)[2]
    assert segment is not None
    design = outcome_of(segment, BOOK).design
    assert design is not None and part.press_min_mm is not None
    beam, contact = pressed(segment, design, BOOK)
    return beam, segment.strings, contact.force, part.reliefs, design.option.bar.shift_mm, part.press_min_mm


def slots_of(reliefs: Sequence[Relief], shift_mm: float) -> list[tuple[float, float]]:
    return [(one.x_mm - shift_mm - one.slot_mm / 2, one.x_mm - shift_mm + one.slot_mm / 2) for one in reliefs]


def missed(fitted_beam, slots: Sequence[tuple[float, float]], lost: float) -> float:
    """Greatest deflection at a string that leaving hollows out misses, as a share of the greatest deflection."""
    beam, strings, forces, *_ = fitted_beam
    whole = bend(beam, strings, forces).deflection
    return float(np.abs(with_hollows(beam, strings, forces, slots, lost) - whole).max() / np.abs(whole).max())


def test_without_hollows_both_agree(fitted_beam):
    assert missed(fitted_beam, [], 0.0) < 1e-6


def test_two_hollows_in_the_thinnest_flat(fitted_beam):
    """A tenth of the stiffness is gone over 13 mm, twice; the deflection grows by some 2 %, less than 0.01 mm."""
    beam, strings, forces, reliefs, shift, press_min = fitted_beam
    flat = next(carrier for carrier in BOOK.carriers if carrier.item == "RC-F15")
    lost = stiffness_lost(flat, reliefs[0].reach_mm, max(one.depth_mm for one in reliefs))
    assert lost == pytest.approx(0.103, abs=1e-3)
    share = missed(fitted_beam, slots_of(reliefs, shift), lost)
    assert 0.005 < share < 0.03
    assert share * np.abs(bend(beam, strings, forces).deflection).max() < min(0.01, 0.05 * press_min)


def test_hollows_across_the_whole_width_would_matter(fitted_beam):
    """With 0.5 of 1.5 mm left the felt would no longer reach all strings."""
    beam, strings, forces, reliefs, shift, press_min = fitted_beam
    share = missed(fitted_beam, slots_of(reliefs, shift), 26 / 27)
    assert share * np.abs(bend(beam, strings, forces).deflection).max() > press_min


def test_the_most_that_a_hollow_may_take_wherever_its_screw_stands(fitted_beam):
    """Over 14 mm at each of the damped strings in turn; in the middle of the widest span it comes nearest."""
    _, strings, *_ = fitted_beam
    shares = [missed(fitted_beam, [(x - 7.0, x + 7.0)], MOST_LOST) for x in map(float, strings[:24])]
    assert 0.03 < max(shares) < 0.06
