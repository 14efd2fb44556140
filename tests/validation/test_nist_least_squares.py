"""Least squares against certified results.

NIST Statistical Reference Datasets (www.itl.nist.gov/div898/strd): Norris, Longley, NoInt1 and NoInt2; the data are
in the public domain. Longley's table comes from statsmodels.datasets.longley. The generalised case is the Longley
regression with first-order autoregressive errors as solved in R (nlme::gls), printed in statsmodels'
tests/results/results_regression.py (class LongleyGls).
"""

import math

import numpy as np
import pytest
import statsmodels.api as sm

from railwright.computing.least_squares import gls

NORRIS_X = np.array(
    [
        0.2,
        337.4,
        118.2,
        884.6,
        10.1,
        226.5,
        666.3,
        996.3,
        448.6,
        777,
        558.2,
        0.4,
        0.6,
        775.5,
        666.9,
        338,
        447.5,
        11.6,
        556,
        228.1,
        995.8,
        887.6,
        120.2,
        0.3,
        0.3,
        556.8,
        339.1,
        887.2,
        999,
        779,
        11.1,
        118.3,
        229.2,
        669.1,
        448.9,
        0.5,
    ]
)
NORRIS_Y = np.array(
    [
        0.1,
        338.8,
        118.1,
        888,
        9.2,
        228.1,
        668.5,
        998.5,
        449.1,
        778.9,
        559.2,
        0.3,
        0.1,
        778.1,
        668.8,
        339.3,
        448.9,
        10.8,
        557.7,
        228.3,
        998,
        888.8,
        119.6,
        0.3,
        0.6,
        557.6,
        339.3,
        888,
        998.5,
        778.9,
        10.2,
        117.6,
        228.9,
        668.4,
        449.2,
        0.2,
    ]
)


def plain(design, observed):
    """Ordinary least squares through the generalised solver: estimates, their standard deviations, residual sd."""
    fit = gls(design, observed, np.eye(len(observed)))
    residual_sd = math.sqrt(fit.chi_square / (len(observed) - design.shape[1]))
    return fit.estimate, residual_sd * np.sqrt(np.diag(fit.covariance)), residual_sd


def test_norris():
    estimate, sd, residual_sd = plain(np.c_[np.ones(36), NORRIS_X], NORRIS_Y)
    assert estimate == pytest.approx([-0.262323073774029, 1.00211681802045], rel=1e-10)
    assert sd == pytest.approx([0.232818234301152, 0.429796848199937e-03], rel=1e-10)
    assert residual_sd == pytest.approx(0.884796396144373, rel=1e-10)


def test_longley():
    data = sm.datasets.longley.load_pandas()
    design = np.c_[np.ones(16), data.exog.to_numpy()]
    estimate, sd, residual_sd = plain(design, data.endog.to_numpy())
    certified = [
        -3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683,
        -1.03322686717359, -0.0511041056535807, 1829.15146461355,
    ]  # fmt: skip
    certified_sd = [
        890420.383607373, 84.9149257747669, 0.0334910077722432, 0.488399681651699,
        0.214274163161675, 0.226073200069370, 455.478499142212,
    ]  # fmt: skip
    assert estimate == pytest.approx(certified, rel=1e-8)
    assert sd == pytest.approx(certified_sd, rel=1e-8)
    assert residual_sd == pytest.approx(304.854073561965, rel=1e-9)


def test_line_through_the_origin():
    """NoInt1 and NoInt2."""
    estimate, sd, residual_sd = plain(np.arange(60.0, 71.0)[:, None], np.arange(130.0, 141.0))
    assert (*estimate, *sd, residual_sd) == pytest.approx((2.07438016528926, 0.165289256198347e-01, 3.56753034006338))
    estimate, sd, residual_sd = plain(np.array([[4.0], [5.0], [6.0]]), np.array([3.0, 4.0, 4.0]))
    assert (*estimate, *sd, residual_sd) == pytest.approx((0.727272727272727, 0.0420827318078432, 0.369274472937998))


def test_longley_with_autoregressive_errors():
    data = sm.datasets.longley.load_pandas()
    exog = data.exog.to_numpy()
    design = np.c_[exog[:, 1], exog[:, 4], np.ones(16)]
    observed = data.endog.to_numpy()
    residual = observed - design @ plain(design, observed)[0]
    rho = np.corrcoef(residual[1:], residual[:-1])[0, 1]
    fit = gls(design, observed, rho ** np.abs(np.subtract.outer(np.arange(16), np.arange(16))))
    sigma = math.sqrt(fit.chi_square / 13)
    assert fit.estimate == pytest.approx([0.0673894832, -0.474273904, 94898.8771], rel=1e-8)
    assert sigma * np.sqrt(np.diag(fit.covariance)) == pytest.approx([0.0107033903, 0.153385472, 13944.7723], rel=1e-8)
    assert sigma == pytest.approx(542.443043098, rel=1e-9)


def test_a_covariance_that_is_none_is_refused():
    with pytest.raises(np.linalg.LinAlgError):
        gls(np.ones((2, 1)), np.ones(2), np.array([[1.0, 2.0], [2.0, 1.0]]))
