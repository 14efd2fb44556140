"""In eight heads a second run lies over the spaces of the first: one reading taken twice, rounded alike."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from railwright.computing.gap_model import Sight, noise_of, shared_rounding
from railwright.computing.normal import two_sided, unit_loss
from railwright.computing.readings import reading_u
from railwright.computing.slip_tests import innovations, repeat_z
from railwright.computing.slips import diagnose
from railwright.computing.spacing import posterior
from section_kit import EIGHTH, SIXTEENTH, book, section, survey

SPAN, RUN, U_SET = 4.25 * 25.4, (3 + 7 / 8) * 25.4, 0.4


def run(step=EIGHTH, **more):
    return replace(Sight(1, 7, 0.0, reading_u(step, U_SET), step_mm=step), **more)


def rounded_twice(step, apart=0.0, draws=200_000):
    """Two readings of one length, the second with an offset: their errors before the offset, shape (2, draws)."""
    rng = np.random.default_rng(4)
    length = rng.uniform(0, 100 * step, draws)
    truth = np.stack([length, length + apart])
    return np.round((truth + rng.normal(0, U_SET, (2, draws))) / step) * step - truth


@pytest.mark.parametrize("step", [EIGHTH, SIXTEENTH, 1.0])
@pytest.mark.parametrize("apart", [0.0, 12.7, 1.3])
def test_shared_rounding_by_simulation(step, apart):
    found = shared_rounding(run(step), run(step, offset_mm=apart))
    errors = rounded_twice(step, apart)
    assert found == pytest.approx(np.cov(errors)[0, 1], abs=0.01 * step**2)
    assert np.var(errors) == pytest.approx(run(step).u_mm ** 2, rel=0.02)


def test_what_sees_other_spaces_or_is_rounded_otherwise_shares_nothing():
    one = run()
    for other in (run(first_gap=2), run(gaps=6), run(heads=1.0), run(SIXTEENTH), run(step_mm=0.0), run(scale=0.1)):
        assert shared_rounding(one, other) == 0.0
    assert shared_rounding(one, one) > 0.2


@given(st.lists(st.sampled_from([run(), run(offset_mm=12.7), run(offset_mm=-25.4), run(first_gap=2)]), max_size=3))
def test_noise_is_a_covariance(sights):
    noise = noise_of(sights)
    assert np.array_equal(noise, noise.T)
    assert all(np.linalg.eigvalsh(noise) > 0.1)


def test_a_second_run_in_eight_heads_tells_less_than_one_over_other_spaces():
    def doubt(heads, span, **more):
        alone = section(dampers=heads, span_mm=span, run_mm=RUN)
        both = replace(alone, run_end_mm=RUN)
        return [posterior(each, survey(), book()).u_mm.max() for each in (alone, both)]

    once, twice = doubt(8, SPAN)
    assert once / math.sqrt(2) < 0.9 * twice and twice < once


@pytest.mark.parametrize("step", [EIGHTH, SIXTEENTH, 1.0])
@pytest.mark.parametrize("steps", [1, 2, 3])
def test_how_rare_a_difference_is_by_simulation(step, steps):
    first, second = rounded_twice(step)
    u = reading_u(step, U_SET)
    z = repeat_z(steps * step, (u, u), (step, step))
    share = np.mean(np.abs(second - first) > (steps - 0.5) * step)
    assert math.erfc(z / math.sqrt(2)) == pytest.approx(share, abs=0.004)


def test_a_difference_has_a_sign_and_none_is_none():
    u = reading_u(EIGHTH, U_SET)
    assert repeat_z(0.0, (u, u), (EIGHTH, EIGHTH)) == 0.0
    assert repeat_z(-EIGHTH, (u, u), (EIGHTH, EIGHTH)) == -repeat_z(EIGHTH, (u, u), (EIGHTH, EIGHTH)) < 0.0


def test_readings_to_different_steps_differ_normally():
    assert repeat_z(2.0, (0.6, 0.8), (EIGHTH, SIXTEENTH)) == pytest.approx(2.0)
    assert repeat_z(2.0, (0.6, 0.8), (0.0, 0.0)) == pytest.approx(2.0)


def test_one_step_between_the_runs_of_eight_heads_is_nothing_two_are_a_finding():
    eight = section(dampers=8, span_mm=SPAN, run_mm=RUN)
    assert [test.field for test in innovations(replace(eight, run_end_mm=RUN), survey(), book())] == [
        "s2_span",
        "s2_run_end",
    ]
    assert diagnose(replace(eight, run_end_mm=RUN + EIGHTH), survey(), book()) is None
    assert diagnose(replace(eight, run_end_mm=RUN + 2 * EIGHTH), survey(), book()).field == "s2_run_end"


def test_runs_apart_without_a_cause_are_told_against_each_other():
    eight = section(dampers=8, span_mm=107.0, run_mm=97.0, run_end_mm=100.0)
    report = diagnose(eight, survey(unit="mm", step_mm=1.0), book())
    assert report.words.startswith(
        "By count and run the second run should be about 97 mm, give or take 1 mm, but 100 mm is written."
    )


def test_the_whole_model_weighs_both_runs_as_one_where_they_agree():
    """A run over six spaces in both readings is one mistake made twice; in one reading it is that one's."""
    eight = section(dampers=8, span_mm=SPAN, run_mm=RUN, run_end_mm=RUN - 13.9)
    assert diagnose(eight, survey(), book()).name == "run_end_over_six_spaces"


def test_normal_values_and_losses():
    """Standard normal tables: 2 (1 - Phi(1.96)) = 0.05; unit normal loss L(0) = 0.3989, L(1) = 0.0833 (from memory)."""
    assert two_sided(0.05) == pytest.approx(1.96, abs=5e-4)
    assert (two_sided(1.0), two_sided(2.0)) == (0.0, 0.0)
    assert two_sided(0.0) > 30.0
    assert unit_loss(0.0) == pytest.approx(0.3989, abs=5e-5)
    assert unit_loss(1.0) == pytest.approx(0.0833, abs=5e-5)
