"""The engine against trying everything: every carrier, felt, foot, station set, shim and lift of small segments."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from every_design import cheapest_of_all, random_book, random_segment, small_section
from fit_samples import fitted, in_the_way, segments, survey, with_rules
from railwright.computing.outcome import outcome_of

INSTANCES = 200
INSTRUMENTS = 30


def test_two_hundred_random_segments():
    """No cheaper design exists than the engine's, none where it says none; the stations bend the felt least."""
    fits = eased = 0
    for seed in range(INSTANCES):
        rng = np.random.default_rng(seed)
        book = random_book(rng)
        segment = random_segment(rng, book)
        outcome = outcome_of(segment, book)
        if outcome.easing is not None:  # only where nothing holds as read, guard or no guard
            assert not np.isfinite(cheapest_of_all(segment, book, 0.0)[0]), seed
            eased, segment = eased + 1, outcome.segment
        cost, count, worst = cheapest_of_all(segment, book, book.value("z_p"))
        assert outcome.guarded == np.isfinite(cost), seed
        if outcome.guarded:
            fits += 1
            design = outcome.design
            assert design.proven
            assert design.cost == pytest.approx(cost, abs=2e-6), seed
            assert len(design.places) == count, seed
            assert np.abs(design.off_mm).max() == pytest.approx(worst, abs=1e-7), seed
        else:  # then a design is to be confirmed where one holds without the guard, and only there
            without = cheapest_of_all(segment, book, 0.0)[0]
            assert (outcome.design is not None and not outcome.miss) == np.isfinite(without), seed
    assert 60 <= fits <= INSTANCES - 40
    assert eased >= 3


def cost_by_lift(segment, book):
    """Least cost of a segment for every crank that any design works with, by trying everything."""
    bent: dict[float, list] = {}
    lifts = [part.size_mm for part in book.parts("crank")]
    costs = {lift: cheapest_of_all(segment, book, book.value("z_p"), [lift], bent)[0] for lift in lifts}
    return {lift: cost for lift, cost in costs.items() if np.isfinite(cost)}


def test_thirty_instruments_under_one_lever():
    """Two or three segments that share a hand: no cheaper cranks are light enough, and none where it says none."""
    bound = light_enough = none = 0
    for seed in range(INSTRUMENTS):
        rng = np.random.default_rng(1000 + seed)
        book = random_book(rng, cranks=12)
        parts = [small_section(rng, number, 0.35, notes=4) for number in range(1, 3 + seed % 2)]
        of = survey(*parts, step=0.5)
        laid = segments(of, book)
        costs = [cost_by_lift(segment, book) for segment in laid]
        if not all(costs):
            continue
        force = [segment.forces.sum() / (book.value("link_stroke") * book.value("lever_ratio")) for segment in laid]
        every = [
            (sum(cost for _, cost in ways), sum(f * lift for f, (lift, _) in zip(force, ways, strict=True)))
            for ways in itertools.product(*(cost.items() for cost in costs))
        ]
        cheapest = min(cost for cost, _ in every)
        least, carefree = min(hand for _, hand in every), min(hand for cost, hand in every if cost < cheapest + 1e-6)
        most = float(rng.uniform(0.99 * least, 1.01 * carefree))
        light = [cost for cost, hand in every if hand <= most]
        result = fitted(of, with_rules(book, lever_force=most))
        if not light:
            none += 1
            assert in_the_way(result) == ["lever_too_heavy"], seed
            continue
        assert in_the_way(result) == [], seed
        assert result.lever_force_n <= most + 1e-9, seed
        assert sum(part.cost for part in result.sections) == pytest.approx(min(light), abs=1e-5), seed
        light_enough += 1
        bound += min(light) > cheapest + 1e-6
    assert light_enough >= 12
    assert bound >= 4
    assert none >= 5
