"""Propagation of uncertainty against the worked examples of JCGM 100:2008 (GUM), annex H.

H.1 end gauge, H.2 simultaneous resistance and reactance, H.3 calibration line; inputs and results as printed there
(data and values seen in the test suites of GTC and Suncal).
"""

import numpy as np
import pytest

from railwright.computing.least_squares import gls, propagate


def test_h1_end_gauge():
    """l = ls + d - ls (da th + as dth); the products of the means vanish but for da and dth: 32 nm."""
    length = 50_000_623.0  # nm
    u_standard, u_difference = 25.0, np.sqrt(5.8**2 + 3.9**2 + 6.7**2)
    u_da, u_dth = 1e-6 / np.sqrt(3), 0.05 / np.sqrt(3)
    sensitivities = np.array([1.0, 1.0, -length * -0.1, -length * 11.5e-6])
    variance = propagate(sensitivities, np.diag(np.array([u_standard, u_difference, u_da, u_dth]) ** 2))
    assert u_difference == pytest.approx(9.7, abs=0.05)
    assert abs(sensitivities[2:] * [u_da, u_dth]) == pytest.approx([2.9, 16.6], abs=0.05)
    assert round(float(np.sqrt(variance))) == 32


V = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
I_MA = np.array([19.663, 19.639, 19.640, 19.685, 19.678])
PHI = np.array([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])


def h2(keep_covariance):
    v, i, phi = V.mean(), I_MA.mean() / 1000, PHI.mean()
    covariance = np.cov(np.stack([V, I_MA / 1000, PHI])) / 5
    if not keep_covariance:
        covariance = np.diag(np.diag(covariance))
    z = v / i
    jacobian = np.array(
        [
            [np.cos(phi) / i, -z * np.cos(phi) / i, -z * np.sin(phi)],
            [np.sin(phi) / i, -z * np.sin(phi) / i, z * np.cos(phi)],
            [1 / i, -z / i, 0.0],
        ]
    )
    out = propagate(jacobian, covariance)
    u = np.sqrt(np.diag(out))
    return z * np.array([np.cos(phi), np.sin(phi), 1.0]), u, out / np.outer(u, u)


def test_h2_resistance_reactance_impedance():
    values, u, correlation = h2(keep_covariance=True)
    assert values == pytest.approx([127.732, 219.847, 254.260], abs=5e-4)
    # one unit of the last figure: the guide goes on from rounded correlation coefficients (0.2956 without)
    assert u == pytest.approx([0.071, 0.295, 0.236], abs=1e-3)
    assert correlation[[0, 0, 1], [1, 2, 2]] == pytest.approx([-0.588, -0.485, 0.993], abs=5e-4)


def test_h2_without_its_covariances_is_wrong():
    assert h2(keep_covariance=False)[1] != pytest.approx([0.071, 0.295, 0.236], rel=0.05)


def test_h3_calibration_line():
    t = np.array([21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511])
    b = -np.array([0.171, 0.169, 0.166, 0.159, 0.164, 0.165, 0.156, 0.157, 0.159, 0.161, 0.160])
    fit = gls(np.c_[np.ones(11), t - 20.0], b, np.eye(11))
    s2 = fit.chi_square / 9
    covariance = s2 * fit.covariance
    assert fit.estimate == pytest.approx([-0.1712, 0.00218], abs=5e-5)
    assert np.sqrt(np.diag(covariance)) == pytest.approx([0.0029, 0.00067], abs=5e-5)
    assert covariance[0, 1] / np.sqrt(covariance[0, 0] * covariance[1, 1]) == pytest.approx(-0.930, abs=5e-4)
    assert np.sqrt(s2) == pytest.approx(0.0035, abs=5e-5)
    at_30 = np.array([1.0, 10.0])
    assert at_30 @ fit.estimate == pytest.approx(-0.1494, abs=5e-5)
    assert np.sqrt(propagate(at_30, covariance)) == pytest.approx(0.0041, abs=5e-5)
