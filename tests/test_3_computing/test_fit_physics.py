"""What any fit must obey: mirrors, more room, stiffer bars."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fit_samples import INCH, bass, fitted, section, segments, survey, tenor
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.heights import Heights
from railwright.computing.outcome import outcome_of
from railwright.computing.segment import Ends, Segment, levelling_of
from railwright.computing.sensitivity import section_state
from railwright.computing.stations import Places

BOOK = default_shop_book()
RANK = {"hold": 0, "confirm": 1, "release": 2}


@st.composite
def sections(draw: st.DrawFn):
    """One damped section below a second that takes the remaining notes; heights that may or may not fit."""
    rest = draw(st.floats(0.2, 0.9))
    return section(
        1,
        draw(st.sampled_from(["tenor", "treble"])),
        draw(st.integers(5, 18)),
        angle=draw(st.floats(62.0, 118.0)),
        gauge=draw(st.sampled_from([None, rest * 0.6])),
        rest=(rest, rest + draw(st.floats(-0.1, 0.1))),
        pitch=draw(st.floats(12.6, 14.8)),
        strut=draw(st.booleans()),
        room_low_mm=draw(st.sampled_from([None, 4.0])),
    )


def whole(part):
    return survey(part, section(2, "treble", 8, notes=8, rest=0.5), step=0.5)


def mirrored(segment: Segment) -> Segment:
    """The segment seen from the other side of the piano."""
    heights = Heights(segment.heights.high, segment.heights.low)
    strings = (segment.span_mm - segment.strings)[::-1]
    ends = segment.ends
    return dataclasses.replace(
        segment,
        theta_deg=180.0 - segment.theta_deg,
        strings=strings,
        forces=segment.forces[::-1],
        counts=segment.counts[::-1],
        heights=heights,
        ends=Ends(ends.out_high_mm, ends.out_low_mm, ends.room_high_mm, ends.room_low_mm),
        levelling=levelling_of(heights, strings, BOOK),
        places=Places(segment.places.gap[::-1], (segment.span_mm - segment.places.x_mm)[::-1]),
    )


@settings(max_examples=40, deadline=None)
@given(sections())
def test_a_mirrored_section_has_mirrored_parts(part):
    segment = segments(whole(part), BOOK)[0]
    one, two = outcome_of(segment, BOOK), outcome_of(mirrored(segment), BOOK)
    assert (one.miss, one.guarded) == (two.miss, two.guarded)
    if one.design is None:
        assert two.design is None
        return
    assert two.design.cost == pytest.approx(one.design.cost)
    assert two.design.option.bar.carrier == one.design.option.bar.carrier
    assert (two.design.lift_mm, two.design.base_shim_mm) == (one.design.lift_mm, one.design.base_shim_mm)
    worst = [np.abs(outcome.design.off_mm).max() for outcome in (one, two)]
    assert worst[1] == pytest.approx(worst[0], abs=1e-8)
    turned = tuple(sorted(segment.places.x_mm.size - 1 - place for place in two.design.places))
    if turned != one.design.places:  # as good a set, first in the other direction
        assert np.sort(np.round(two.design.off_mm, 7))[-1] == pytest.approx(np.sort(one.design.off_mm)[-1], abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(sections(), st.floats(0.01, 5.0), st.floats(0.01, 5.0))
def test_a_thicker_clear_gauge_never_makes_it_worse(part, low, high):
    """More free height under the same gap at rest: release stays release, confirm does not become hold."""
    part = dataclasses.replace(part, gauge_low_mm=part.gauge_low_mm or 6.0, gauge_high_mm=part.gauge_high_mm or 6.0)
    more = dataclasses.replace(part, gauge_low_mm=part.gauge_low_mm + low, gauge_high_mm=part.gauge_high_mm + high)
    before, after = (section_state(whole(each), 1, BOOK) for each in (part, more))
    assert RANK[after] >= RANK[before]


@settings(max_examples=40, deadline=None)
@given(sections(), st.floats(0.0, 4.0))
def test_more_gap_never_holds_what_was_released(part, more):
    """The whole gap grows alike, gauge and rest, within what the cranks reach."""
    grown = {
        name: getattr(part, name) + more
        for name in ("gauge_low_mm", "gauge_high_mm", "rest_low_mm", "rest_high_mm")
        if getattr(part, name) is not None
    }
    if max(part.rest_low_mm, part.rest_high_mm) + more > 0.6 * INCH:
        return
    before = section_state(whole(part), 1, BOOK)
    after = section_state(whole(dataclasses.replace(part, **grown)), 1, BOOK)
    assert before != "release" or after != "hold"


@pytest.mark.parametrize("seed", range(10))
def test_stiffer_carriers_never_cost_more_or_bend_the_same_design_more(seed):
    """All bars 1.8 times as stiff at the same price and weight, gaps level."""
    rng = np.random.default_rng(seed)
    part = section(1, "treble", int(rng.integers(8, 24)), gauge=3 / 8, rest=float(rng.choice([3, 4])) / 8)
    of = survey(part, section(2, "treble", 8, notes=8, gauge=3 / 8, rest=0.5))
    stiff = dataclasses.replace(
        BOOK, carriers=tuple(dataclasses.replace(bar, modulus_gpa=bar.modulus_gpa * 1.8) for bar in BOOK.carriers)
    )
    one, two = fitted(of).sections[0], fitted(of, stiff).sections[0]
    assert two.cost <= one.cost + 1e-9
    same = (one.carrier.item, one.foot, [s.x_mm for s in one.stations]) == (
        two.carrier.item,
        two.foot,
        [s.x_mm for s in two.stations],
    )
    if same and one.felt.item == two.felt.item:
        assert two.deflection_mm == pytest.approx(one.deflection_mm / 1.8, rel=1e-6)


def test_stations_carry_what_the_strings_press_and_the_bar_weighs():
    """Reactions of every section against its own loads and weight, to 1e-9."""
    from railwright.computing.profiles import area, weight_per_mm

    for part in fitted(survey(bass(), tenor(), section(3, "treble", 20, gauge=3 / 8, rest=1 / 2))).sections:
        bar = next(carrier for carrier in BOOK.carriers if carrier.item == part.carrier.item)
        felt = next(felt for felt in BOOK.felts if felt.item == part.felt.item)
        own = weight_per_mm(area(bar), bar.density_kg_m3)
        own += weight_per_mm(bar.width_mm * felt.thickness_mm, felt.density_kg_m3)
        carried = sum(station.reaction_n for station in part.stations)
        assert carried == pytest.approx(part.press_force_n + own * part.carrier.edge_mm, rel=1e-9)
