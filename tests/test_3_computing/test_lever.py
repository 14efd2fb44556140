"""The lever: virtual work, and the exact choice of smaller lifts."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from railwright.computing.lever import Choice, lever_force, lightest_cost


def test_virtual_work():
    """55 N lifted by 10 mm and 60 N by 8 mm, while the hand moves 6 x 20 mm: (550 + 480) / 120 N."""
    assert lever_force([550.0, 480.0], 20.0, 6.0) == pytest.approx(1030 / 120)
    assert lever_force([], 20.0, 6.0) == 0.0


def test_the_cheaper_relief_is_taken():
    """Both segments could give way; the second does so for less."""
    ways = [[Choice(4.0, 500.0, 0), Choice(6.0, 300.0, 1)], [Choice(3.0, 400.0, 0), Choice(3.5, 250.0, 1)]]
    assert lightest_cost(ways, 900.0) == (0, 0)
    assert lightest_cost(ways, 899.0) == (0, 1)
    assert lightest_cost(ways, 600.0) == (1, 1)
    assert lightest_cost(ways, 549.0) is None


WAYS = st.lists(
    st.lists(st.tuples(st.integers(0, 60), st.integers(0, 500)), min_size=1, max_size=4), min_size=1, max_size=5
)


@given(WAYS, st.integers(0, 1500))
def test_as_cheap_as_trying_all(listed, most):
    ways = [[Choice(cost / 10, float(work), i) for i, (cost, work) in enumerate(some)] for some in listed]
    light = [each for each in itertools.product(*ways) if sum(way.work for way in each) <= most]
    chosen = lightest_cost(ways, float(most))
    if not light:
        assert chosen is None
        return
    picked = [some[place] for some, place in zip(ways, chosen, strict=True)]
    assert sum(way.work for way in picked) <= most
    assert sum(way.cost for way in picked) == pytest.approx(min(sum(way.cost for way in each) for each in light))
