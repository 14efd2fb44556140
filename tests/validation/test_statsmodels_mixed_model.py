"""Pianos of one design as a random-effects model, against scipy's normal density and statsmodels' mixed models."""

from dataclasses import replace

import numpy as np
import pytest
import statsmodels.api as sm
from scipy.optimize import minimize_scalar
from scipy.stats import multivariate_normal

from railwright.computing.gap_model import condition, prior_moments, prior_of, run_sight, span_sight
from railwright.computing.kin_tally import SpreadPrior, frame_of, kin_in, tally_of
from railwright.survey.designs import SectionDesign
from railwright.survey.records import Survey
from section_kit import book

PRIOR = prior_of(Survey(file=""), book())
SPREAD = SpreadPrior(0.06, 2.0)
HEADS = 28
NOISE = 0.5


def drawn(frame, pianos, sigma, seed, noise=NOISE):
    """Readings of pianos whose pitch differs: shape (pianos, readings)."""
    dice = np.random.default_rng(seed)
    pitch = dice.normal(0.0, sigma, pianos)[:, None]
    return frame.mean_mm + pitch * frame.ones + dice.normal(0.0, noise, (pianos, len(frame.fields)))


def kin_of(frame, readings, noise=NOISE):
    return [
        kin_in(frame, {name: (value, noise, 0.0) for name, value in zip(frame.fields, row, strict=True)}, 0.0, 0.0)
        for row in readings
    ]


def test_the_likelihood_of_all_readings_is_scipys():
    frame, sigma = frame_of(PRIOR, HEADS, False), 0.1
    readings = drawn(frame, 4, sigma, 1)
    tally = tally_of(frame, SPREAD, kin_of(frame, readings))
    shared, own = (part(np.array([sigma]))[0] for part in (frame.of_design, frame.of_piano))
    covariance = np.kron(np.ones((4, 4)), shared) + np.kron(np.eye(4), own + NOISE**2 * np.eye(3))
    theirs = multivariate_normal(np.tile(frame.mean_mm, 4), covariance).logpdf(readings.ravel())
    assert tally.log_likelihood(np.array([sigma]))[0] == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize("seed", [1, 2])
def test_the_spread_between_pianos_is_that_of_a_mixed_model(seed):
    # with nothing known of the design beforehand the likelihood is the restricted one of statsmodels.MixedLM
    flat = replace(PRIOR, pitch_sd_mm=1e3, drift_mm=1e3, drift_length=0.5, scatter_mm=0.0)
    frame = frame_of(flat, HEADS, False)
    readings = drawn(frame, 30, 0.15, seed)
    which = np.tile(np.eye(3), (30, 1))
    groups, ones = np.repeat(np.arange(30), 3), np.tile(frame.ones / frame.ones[0], 30)
    theirs = sm.MixedLM(readings.ravel(), which, groups, exog_re=ones).fit(reml=True, method=["powell", "lbfgs"])
    tally = tally_of(frame, SPREAD, kin_of(frame, readings, noise=float(np.sqrt(theirs.scale))))
    found = minimize_scalar(
        lambda sigma: -tally.log_likelihood(np.array([sigma]))[0], bounds=(0.01, 1.0), method="bounded"
    )
    assert found.x == pytest.approx(float(np.sqrt(theirs.cov_re[0, 0])) / frame.ones[0], rel=2e-3)
    precision, pull = (each[0] for each in tally.information(np.array([found.x])))
    assert frame.mean_mm + np.linalg.solve(precision, pull) == pytest.approx(theirs.fe_params, abs=1e-3)
    assert np.sqrt(np.diag(np.linalg.inv(precision))) == pytest.approx(theirs.bse_fe, rel=5e-3)


def test_a_further_pianos_wires_are_those_of_one_joint_normal_law():
    # the design is kept as a few sums; conditioning on every reading of every piano at once must tell the same
    sigma, heads = 0.08, 12
    frame = frame_of(PRIOR, heads, False)
    readings = drawn(frame, 3, sigma, 5)
    tally = tally_of(frame, SPREAD, kin_of(frame, readings))
    precision, pull = (each[0] for each in tally.information(np.array([sigma])))
    covariance = np.linalg.inv(precision)
    design = SectionDesign(
        dampers=heads,
        treble=False,
        surveys=3,
        fields=frame.fields,
        sums_mm=tuple(frame.mean_mm + covariance @ pull),
        cov_mm2=tuple(map(tuple, covariance)),
        pitch_sd_mm=sigma,
    )
    sights = [span_sight(heads, NOISE), run_sight(heads, "tenor", "run", NOISE)]
    written = [170.0, 98.0]
    mean, spread = condition(sights, written, replace(PRIOR, design=design), heads)

    gaps, pianos = heads - 1, 4
    _, plain = prior_moments(PRIOR, heads)
    own = sigma**2 + PRIOR.scatter_mm**2 * np.eye(gaps)
    shared = plain[:-1, :-1] - own
    joint = np.kron(np.ones((pianos, pianos)), shared) + np.kron(np.eye(pianos), own)
    starts = [run_sight(heads, "tenor", which, 0.0).first_gap - 1 for which in ("run", "run_end")]
    rows = np.stack([np.ones(gaps), *(np.eye(gaps)[start : start + 7].sum(axis=0) for start in starts)])
    design_rows = np.zeros((9 + 2, pianos * gaps))
    for place in range(3):
        design_rows[3 * place : 3 * place + 3, gaps * place : gaps * (place + 1)] = rows
    design_rows[9:, 3 * gaps :] = rows[:2]
    noise = np.diag([NOISE**2] * 9 + [NOISE**2 + PRIOR.head_u_mm**2, NOISE**2])
    seen = np.r_[readings.ravel(), written[0] - PRIOR.head_mm, written[1]]
    model = sm.GLS(
        np.r_[seen, np.full(pianos * gaps, PRIOR.pitch_mm)],
        np.r_[design_rows, np.eye(pianos * gaps)],
        sigma=np.block([[noise, np.zeros((11, pianos * gaps))], [np.zeros((pianos * gaps, 11)), joint]]),
    ).fit(cov_type="fixed scale")
    assert mean[:-1] == pytest.approx(model.params[3 * gaps :], abs=1e-8)
    assert spread[:-1, :-1] == pytest.approx(model.cov_params()[3 * gaps :, 3 * gaps :], abs=1e-8)
