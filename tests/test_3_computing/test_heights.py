"""Free height and rest gap at an end; every reading in or out."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fit_samples import EIGHTH, INCH, section, survey
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.heights import between, end_heights, heights_of, highest_stack

BOOK = default_shop_book()
U_EIGHTH = math.hypot(EIGHTH / math.sqrt(12), 0.4)


def low(register: str, gauge: float | None, rest: float | None, step: float = EIGHTH):
    part = section(1, register, 10, gauge=gauge, rest=rest)
    return end_heights(part, "low", survey(part, step=step), BOOK)


def test_gauge_bounds_the_free_height_and_rest_the_lift():
    """A block that passed is a bound: only its own 0.1 mm counts; the rest gap is a reading at 1/8 in."""
    found = low("bass", 5 / 8, 7 / 8)
    assert (found.free_mm, found.u_free_mm) == (15.875, 0.1)
    assert (found.rest_mm, found.u_rest_mm) == (pytest.approx(22.225), pytest.approx(U_EIGHTH))
    assert (found.free_field, found.rest_field) == ("s1_gauge_low", "s1_rest_low")


@pytest.mark.parametrize(("register", "swing"), [("bass", 4.0), ("tenor", 2.5), ("treble", 0.5)])
def test_rest_alone_loses_the_swing(register, swing):
    found = low(register, None, 1 / 2)
    assert found.free_mm == pytest.approx(12.7 - swing)
    assert found.u_free_mm == pytest.approx(U_EIGHTH)
    assert (found.free_field, found.rest_field) == ("s1_rest_low", "s1_rest_low")


@pytest.mark.parametrize(("register", "swing"), [("bass", 4.0), ("tenor", 2.5), ("treble", 0.5)])
def test_gauge_alone_gains_half_a_block_step_and_the_swing(register, swing):
    """u: a step of 1/16 in over root 12, and a quarter of the swing."""
    found = low(register, 1 / 2, None)
    assert found.rest_mm == pytest.approx(12.7 + 1.5875 / 2 + swing)
    assert found.u_rest_mm == pytest.approx(math.hypot(1.5875 / math.sqrt(12), 0.25 * swing))
    assert found.u_free_mm == 0.1


def test_a_finer_step_is_surer():
    assert low("treble", None, 1 / 4, INCH / 32).u_free_mm == pytest.approx(math.hypot(INCH / 32 / math.sqrt(12), 0.4))


def test_nothing_read_gives_nothing():
    assert low("treble", None, None) is None
    part = section(1, "treble", 10, gauge=(3 / 8, None), rest=None)
    assert heights_of(part, survey(part), BOOK) is None
    unknown = section(1, "treble", 10, gauge=3 / 8)
    assert end_heights(section(1, None, 10, gauge=3 / 8), "low", survey(unknown), BOOK) is None


def test_between_and_beyond_the_ends():
    assert between(10.0, 14.0, np.array([-0.5, 0.0, 0.25, 1.0, 1.5])).tolist() == [10.0, 10.0, 11.0, 14.0, 14.0]


def test_highest_stack():
    assert highest_stack(15.875, 0.1, 0.5, 1.645) == pytest.approx(15.2105)
