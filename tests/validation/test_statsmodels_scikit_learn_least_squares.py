"""Wire positions against two independent libraries on the same data, to 1e-9.

statsmodels' GLS solves the section as a regression in which the prior is a set of observations with the prior's
covariance. scikit-learn's GaussianProcessRegressor predicts the drift plus pitch of single gaps that were each
measured. (statsmodels scales covariances by the residuals; its unscaled ``normalized_cov_params`` is used.)
"""

import math

import numpy as np
import pytest
import statsmodels.api as sm
from scipy import integrate, stats
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import RBF, ConstantKernel, WhiteKernel

from railwright.computing.gap_model import GapPrior, Sight, condition, run_start
from railwright.computing.spacing import posterior
from section_kit import book, section, survey


def independent_prior(heads, shop):
    """Mean and covariance of gaps and head width, written out from the definition."""
    pitch, drift = shop.value("pitch"), shop.value("drift") / 100 * shop.value("pitch")
    covariance = np.zeros((heads, heads))
    for i in range(heads - 1):
        for j in range(heads - 1):
            alike = np.exp(-((i - j) ** 2) / (2 * shop.value("drift_length") ** 2))
            covariance[i, j] = shop.value("pitch_sd") ** 2 + drift**2 * alike + (i == j) * shop.value("scatter") ** 2
    covariance[-1, -1] = shop.value("default_head_width_u") ** 2
    return np.r_[np.full(heads - 1, pitch), shop.value("default_head_width")], covariance


def shared_rounding(step, u_set):
    """Covariance of two rounding errors whose true lengths differ by a normal d: E r^2/2 B2(frac(d / r)).

    B2(x) = x^2 - x + 1/6 is the second Bernoulli polynomial (Abramowitz and Stegun, 23.1, from memory).
    """
    law = stats.norm(0, math.sqrt(2) * u_set)

    def value(d):
        x = d / step % 1.0
        return step**2 / 2 * (x * x - x + 1 / 6) * law.pdf(d)

    whole = [integrate.quad(value, k * step, (k + 1) * step, epsabs=1e-14)[0] for k in range(-4, 4)]
    return math.fsum(whole)


@pytest.mark.parametrize("register", ["bass", "treble"])
@pytest.mark.parametrize("heads", [8, 13, 20, 34])
def test_positions_and_covariance_equal_statsmodels_gls(heads, register):
    shop, u2 = book(), 3.175**2 / 12 + 0.4**2
    readings = np.array([9.5 + (heads - 1) * 13.6, 97.0, 94.0])
    mean, covariance = independent_prior(heads, shop)
    rows = np.zeros((3, heads))
    rows[0] = 1.0
    for row, which in ((rows[1], "run"), (rows[2], "run_end")):
        start = run_start(heads, register, which) - 1
        row[start : start + 7] = 1.0
    sigma = np.zeros((heads + 3, heads + 3))
    sigma[:heads, :heads], sigma[heads:, heads:] = covariance, u2 * np.eye(3)
    if heads == 8:  # both runs lie over the same seven spaces
        sigma[heads + 1, heads + 2] = sigma[heads + 2, heads + 1] = shared_rounding(3.175, 0.4)
    fit = sm.GLS(np.r_[mean, readings], np.vstack([np.eye(heads), rows]), sigma).fit()
    to_x = np.tri(heads, heads, -1)
    to_x[:, -1] = 0.5

    found = posterior(
        section(dampers=heads, register=register, span_mm=readings[0], run_mm=readings[1], run_end_mm=readings[2]),
        survey(),
        shop,
    )
    assert found.x_mm == pytest.approx(to_x @ fit.params, abs=1e-9 * 500)
    assert found.cov_mm2 == pytest.approx(to_x @ fit.normalized_cov_params @ to_x.T, abs=1e-9)
    assert found.x_mm == pytest.approx(to_x @ fit.params, rel=1e-9)


@pytest.mark.parametrize("undamped", [0, 6, 20])
def test_a_reach_beyond_the_dampers_equals_statsmodels_gls(undamped):
    """The reach sees half a head, all gaps and one more for each note beyond, whose spacing shares an error."""
    shop, heads, u2 = book(), 16, 3.175**2 / 12 + 0.4**2
    beyond, readings = heads + undamped, np.array([217.0, 95.0, 4.75 + (heads - 1 + undamped) * 13.75])
    mean, covariance = independent_prior(beyond, shop)
    rows = np.zeros((3, beyond))
    rows[0, : heads - 1] = rows[0, -1] = 1.0
    rows[1, run_start(heads, "treble") - 1 :][:7] = 1.0
    rows[2], rows[2, -1] = 1.0, 0.5
    noise = np.diag([u2, u2, u2 + (undamped * shop.value("undamped_sd")) ** 2])
    sigma = np.block([[covariance, np.zeros((beyond, 3))], [np.zeros((3, beyond)), noise]])
    fit = sm.GLS(np.r_[mean, readings], np.vstack([np.eye(beyond), rows]), sigma).fit()
    to_x = np.zeros((heads, beyond))
    to_x[:, : heads - 1], to_x[:, -1] = np.tri(heads, heads - 1, -1), 0.5

    top = section(dampers=heads, register="treble", span_mm=readings[0], run_mm=readings[1], notes=heads + undamped)
    found = posterior(top, survey(top, top_reach_mm=readings[2]), shop)
    assert found.x_mm == pytest.approx(to_x @ fit.params, rel=1e-9)
    assert found.cov_mm2 == pytest.approx(to_x @ fit.normalized_cov_params @ to_x.T, abs=1e-9)


def test_gaps_equal_scikit_learns_gaussian_process():
    """Eleven gaps, five of them measured singly; the scatter belongs to every gap, so it is white in the kernel."""
    prior = GapPrior(13.9, 0.9, 0.278, 8.0, 0.25, 9.5, 0.3)
    measured, values, u = np.array([0, 2, 3, 7, 10]), np.array([13.2, 13.9, 14.1, 13.5, 13.0]), 0.4
    mean, covariance = condition([Sight(int(i) + 1, 1, 0.0, u) for i in measured], values.tolist(), prior, 12)

    kernel = ConstantKernel(0.9**2, "fixed") + ConstantKernel(0.278**2, "fixed") * RBF(8.0, "fixed")
    smooth = GaussianProcessRegressor(kernel + WhiteKernel(0.25**2, "fixed"), alpha=u**2, optimizer=None)
    smooth.fit(measured[:, None].astype(float), values - 13.9)
    elsewhere = np.array([1, 4, 5, 6, 8, 9])
    expected, spread = smooth.predict(elsewhere[:, None].astype(float), return_cov=True)
    assert mean[elsewhere] == pytest.approx(expected + 13.9, rel=1e-9)
    assert covariance[np.ix_(elsewhere, elsewhere)] == pytest.approx(spread, abs=1e-9)


def test_gaussian_process_example():
    """Kernel 2 exp(-d^2 / (2 1.5^2)), noise variance 0.1, at 1.7: mean 1.48043083, sd 0.32399812 (scikit-learn)."""
    places = np.array([0.0, 1.0, 2.5, 1.7])
    kernel = 2.0 * np.exp(-(np.subtract.outer(places, places) ** 2) / (2 * 1.5**2))
    gain = np.linalg.solve(kernel[:3, :3] + 0.1 * np.eye(3), kernel[:3, 3])
    assert gain @ [1.0, 2.0, 0.5] == pytest.approx(1.48043083, abs=5e-9)
    # the same through the product: the gaps are every half step from 0 to 2.5 and 0.1 steps beside 1.7
    prior = GapPrior(0.0, 0.0, np.sqrt(2.0), 15.0, 0.0, 0.0, 0.0)
    sights = [Sight(1, 1, 0.0, np.sqrt(0.1)), Sight(11, 1, 0.0, np.sqrt(0.1)), Sight(26, 1, 0.0, np.sqrt(0.1))]
    mean, covariance = condition(sights, [1.0, 2.0, 0.5], prior, 27)
    assert mean[17] == pytest.approx(1.48043083, abs=5e-9)
    assert np.sqrt(covariance[17, 17]) == pytest.approx(0.32399812, abs=5e-9)
