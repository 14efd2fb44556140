"""Least squares of differences and closures.

The 1,1,1 and 1,1,1,1 weighing designs are in the NIST/SEMATECH e-Handbook of Statistical Methods, sections 2.3.3.2 and
2.3.3.3.4 (mpc332.htm, mpc3334.htm). The signs of the second, lost in the copy that was seen, follow from its normal
equations. Pitch from heads at equal spacing is the ordinary regression of position on number, solved by hand.
"""

import numpy as np
import pytest
import statsmodels.api as sm

from railwright.computing.gap_model import GapPrior, Sight, condition, prior_moments
from railwright.computing.least_squares import gls


def test_three_equal_weights():
    """1,1,1 design, A known: B = (-2 y1 - y2 + y3) / 3 + A, sd factors 0.8165 each and 1.4142 for B + C."""
    readings = np.array([0.4, -0.7, -1.3])
    design = np.array([[-1.0, 0.0], [0.0, -1.0], [1.0, -1.0]])
    known = np.array([5.0, 5.0, 0.0])
    fit = gls(design, readings - known, np.eye(3))
    assert fit.estimate[0] == pytest.approx(np.array([-2, -1, 1]) @ readings / 3 + 5.0)
    assert fit.estimate[1] == pytest.approx(np.array([-1, -2, -1]) @ readings / 3 + 5.0)
    assert np.sqrt(np.diag(fit.covariance)) == pytest.approx([0.8165, 0.8165], abs=5e-5)
    assert np.sqrt(fit.covariance.sum()) == pytest.approx(1.4142, abs=5e-5)


def test_four_equal_weights():
    """1,1,1,1 design with R1 + R2 known: divisor 8, sd factors of X1 and X2 0.6124, of R1 - R2 0.7071."""
    y = np.array([0.3, 0.9, -0.4, 0.8, -0.6, -1.1])
    total = 10.0
    # unknowns R1, X1, X2; R2 = total - R1
    design = np.array([[2, 0, 0], [1, -1, 0], [1, 0, -1], [-1, -1, 0], [-1, 0, -1], [0, 1, -1]], dtype=float)
    known = np.array([-total, 0, 0, total, total, 0])
    fit = gls(design, y - known, np.eye(6))
    assert fit.estimate[1] == pytest.approx(np.array([0, -3, -1, -3, -1, 2]) @ y / 8 + total / 2)
    assert fit.estimate[2] == pytest.approx(np.array([0, -1, -3, -1, -3, -2]) @ y / 8 + total / 2)
    assert np.sqrt(np.diag(fit.covariance))[1:] == pytest.approx([0.6124, 0.6124], abs=5e-5)
    assert 2 * np.sqrt(fit.covariance[0, 0]) == pytest.approx(0.7071, abs=5e-5)


def test_closure_of_three_sections():
    """Sections 300, 450, 350 (u 1) and 1103 over all (u 2): each takes 3 x 1 / (1 + 1 + 1 + 4) of the misclosure."""
    design = np.vstack([np.eye(3), np.ones(3)])
    observed, covariance = np.array([300.0, 450.0, 350.0, 1103.0]), np.diag([1.0, 1.0, 1.0, 4.0])
    fit = gls(design, observed, covariance)
    assert fit.estimate == pytest.approx(np.array([300.0, 450.0, 350.0]) + 3 / 7, rel=1e-12)
    assert np.sqrt(np.diag(fit.covariance)) == pytest.approx([np.sqrt(6 / 7)] * 3)
    assert fit.chi_square == pytest.approx(9 / 7)
    assert fit.estimate == pytest.approx(sm.GLS(observed, design, covariance).fit().params, rel=1e-12)


def test_differences_of_eight_heads_with_their_covariance_give_the_regression_slope():
    """Pitch from seven neighbouring differences: sd s / sqrt(42), as from the positions; not s sqrt(2/7)."""
    positions = np.array([0, 13.1, 25.9, 39.2, 52.0, 65.1, 77.8, 91.0])
    differences = np.diff(np.eye(8), axis=0)
    fit = gls(np.ones((7, 1)), differences @ positions, differences @ differences.T)
    slope = sm.OLS(positions, sm.add_constant(np.arange(8.0))).fit().params[1]
    assert fit.estimate[0] == pytest.approx(slope, rel=1e-12) == pytest.approx(12.98690476, abs=5e-9)
    assert np.sqrt(fit.covariance[0, 0]) == pytest.approx(1 / np.sqrt(42))
    assert np.sqrt(fit.covariance[0, 0]) != pytest.approx(np.sqrt(2 / 7), rel=0.1)


def test_independent_gaps_share_the_misclosure_evenly():
    """Four gaps of prior 10 (sd 1, independent), their sum read as 44 (u 2): the closure adjustment by hand."""
    prior = GapPrior(10.0, 0.0, 0.0, 1.0, 1.0, 0.0, 0.0)
    mean, covariance = condition([Sight(1, 4, 0.0, 2.0)], [44.0], prior, 5)
    assert mean[:4] == pytest.approx([10 + 4 * 1 / (4 + 4)] * 4)
    assert np.diag(covariance)[:4] == pytest.approx([1 - 1 / 8] * 4)
    assert prior_moments(prior, 5)[1][:4, :4] == pytest.approx(np.eye(4))


def test_a_weighted_mean_takes_the_uncertainties_at_their_word():
    """10.0, 10.4, 9.9 with u 0.1, 0.2, 0.1: mean 10.0, u 1/15, chi-square 5.0 (worked by hand).

    Scaling u by the Birge ratio, as statsmodels' WLS does (0.105409), is not for uncertainties that are stated
    (Kacker, Kessel and Sommer, J. Res. NIST 115, 453, 2010).
    """
    observed, u = np.array([10.0, 10.4, 9.9]), np.array([0.1, 0.2, 0.1])
    fit = gls(np.ones((3, 1)), observed, np.diag(u**2))
    assert fit.estimate[0] == pytest.approx(10.0, rel=1e-12)
    assert np.sqrt(fit.covariance[0, 0]) == pytest.approx(1 / 15, rel=1e-12)
    assert fit.chi_square == pytest.approx(5.0, rel=1e-9)
    scaled = sm.WLS(observed, np.ones(3), 1 / u**2).fit().bse[0]
    assert scaled == pytest.approx(0.105409, abs=5e-7) != pytest.approx(np.sqrt(fit.covariance[0, 0]), rel=0.1)
