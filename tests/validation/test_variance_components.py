"""Variance components against closed forms and two libraries.

With no drift and no confirming error the fit is a one-way random-effects model: balanced data have the estimators of
the analysis of variance as their restricted maximum likelihood solution (Searle, Casella and McCulloch, Variance
Components, 1992, from memory), and statsmodels' MixedLM solves the same model by its own route. With drift the
likelihood is that of a Gaussian process, which scikit-learn evaluates.
"""

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from scipy.optimize import minimize
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import RBF, ConstantKernel, WhiteKernel

from railwright.computing import calibration
from railwright.computing.calibration import ConfirmedSection, calibrate
from section_kit import book

SECTIONS, GAPS = 6, 9


def gaps_of_sections():
    rng = np.random.default_rng(12)
    return 13.8 + rng.normal(0, 0.7, (SECTIONS, 1)) + rng.normal(0, 0.3, (SECTIONS, GAPS))


def fit_without_drift(gaps):
    """A drift over a hundred thousandth of a gap is scatter: the two add up to the residual variance."""
    sections = [ConfirmedSection(tuple(np.r_[0.0, np.cumsum(row)].tolist()), 0.0) for row in gaps]
    found = {each.key: each.value for each in calibrate(sections, book(drift_length=1e-5)).proposals}
    residual = found["scatter"] ** 2 + (found["drift"] / 100 * found["pitch"]) ** 2
    return found["pitch"], found["pitch_sd"] ** 2, residual


def test_balanced_one_way_analysis_of_variance():
    gaps = gaps_of_sections()
    within = gaps.var(axis=1, ddof=1).mean()
    between = GAPS * gaps.mean(axis=1).var(ddof=1)
    pitch, pitch_variance, residual = fit_without_drift(gaps)
    assert pitch == pytest.approx(gaps.mean(), rel=1e-9)
    assert residual == pytest.approx(within, rel=1e-4)
    assert pitch_variance == pytest.approx((between - within) / GAPS, rel=1e-4)


def test_mixed_model_of_statsmodels():
    gaps = gaps_of_sections()
    table = pd.DataFrame({"gap": gaps.ravel(), "section": np.repeat(np.arange(SECTIONS), GAPS)})
    model = smf.mixedlm("gap ~ 1", table, groups="section").fit(reml=True)
    pitch, pitch_variance, residual = fit_without_drift(gaps)
    assert pitch == pytest.approx(model.params["Intercept"], rel=1e-6)
    assert pitch_variance == pytest.approx(float(model.cov_re.iloc[0, 0]), rel=1e-3)
    assert residual == pytest.approx(model.scale, rel=1e-3)


def confirmed(count, u_mm=0.1):
    rng = np.random.default_rng(8)
    place = np.arange(14.0)
    alike = 0.4**2 * np.exp(-0.5 * (np.subtract.outer(place, place) / 8.0) ** 2)
    gaps = rng.multivariate_normal(np.full(14, 13.6), alike + 0.6**2 + 0.2**2 * np.eye(14), count)
    x = np.c_[np.zeros(count), np.cumsum(gaps, axis=1)] + rng.normal(0, u_mm, (count, 15))
    return [ConfirmedSection(tuple(row.tolist()), u_mm) for row in x]


def test_likelihood_is_that_of_a_gaussian_process():
    """Sections that were confirmed exactly, the pitch known: each section's likelihood by scikit-learn."""
    sections = confirmed(3, u_mm=0.0)
    blocks = [calibration._block(section, 8.0) for section in sections]
    state = calibration._state(blocks, np.array([0.36, 0.16, 0.04]))
    kernel = ConstantKernel(0.36, "fixed") + ConstantKernel(0.16, "fixed") * RBF(8.0, "fixed")
    total = 0.0
    for block in blocks:
        process = GaussianProcessRegressor(kernel + WhiteKernel(0.04, "fixed"), alpha=0.0, optimizer=None)
        process.fit(np.arange(14.0)[:, None], block.distance - state.pitch)
        total += process.log_marginal_likelihood_value_
    # integrating the pitch out leaves sqrt(2 pi u^2), with u the standard uncertainty of the pitch
    assert state.log_likelihood == pytest.approx(total + 0.5 * np.log(2 * np.pi * state.pitch_variance), rel=1e-9)


def test_no_optimiser_finds_a_likelier_place():
    sections = confirmed(12)
    blocks = [calibration._block(section, 8.0) for section in sections]
    found = calibrate(sections, book())
    by_scipy = minimize(
        lambda logs: -calibration._state(blocks, np.exp(logs)).log_likelihood,
        np.log([0.5, 0.1, 0.1]),
        method="Nelder-Mead",
        options={"xatol": 1e-7, "fatol": 1e-10, "maxiter": 2000},
    )
    assert found.log_likelihood == pytest.approx(-by_scipy.fun, abs=1e-6)
    assert found.proposals[1].value == pytest.approx(np.exp(by_scipy.x[0] / 2), rel=1e-3)


def test_score_is_the_slope_of_the_likelihood():
    blocks = [calibration._block(section, 8.0) for section in confirmed(4)]
    at = np.array([0.3, 0.1, 0.05])
    state = calibration._state(blocks, at)
    for k in range(3):
        step = np.zeros(3)
        step[k] = 1e-6
        up, down = (calibration._state(blocks, at + sign * step).log_likelihood for sign in (1, -1))
        assert state.score[k] == pytest.approx((up - down) / 2e-6, rel=1e-5)
