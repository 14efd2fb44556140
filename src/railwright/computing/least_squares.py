"""Generalised least squares, and how a covariance goes through a linear map."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from railwright.computing.results import Array


class Fit(NamedTuple):
    """Estimates, shape (p,); their covariance for the covariance given, shape (p, p); and r' Sigma^-1 r."""

    estimate: Array
    covariance: Array
    chi_square: float


def gls(design: Array, observed: Array, covariance: Array) -> Fit:
    """Generalised least squares: b = (X' S^-1 X)^-1 X' S^-1 y, cov(b) = (X' S^-1 X)^-1.

    Observations are whitened by the Cholesky factor of S and solved by QR, which keeps more figures than the normal
    equations do. The covariance of the result takes S at its word; it is not scaled by the residuals.

    Args:
        design: X, shape (n, p) with n >= p and full column rank.
        observed: y, shape (n,).
        covariance: S, shape (n, n), positive definite.

    Returns:
        The fit.

    Raises:
        LinAlgError: S is not positive definite, or X has not full rank.
    """
    factor = np.linalg.cholesky(covariance)
    white_x, white_y = np.linalg.solve(factor, design), np.linalg.solve(factor, observed)
    scale = np.linalg.norm(white_x, axis=0)
    q, r = np.linalg.qr(white_x / scale)
    inverse = np.linalg.inv(r)
    estimate = inverse @ (q.T @ white_y) / scale
    residual = white_y - white_x @ estimate
    return Fit(estimate, inverse @ inverse.T / np.outer(scale, scale), float(residual @ residual))


def propagate(jacobian: Array, covariance: Array) -> Array:
    """Carry a covariance through a linear map: J C J'. Source: JCGM 102:2011, 6.2.1.3, from memory.

    Args:
        jacobian: J, shape (m, n); a row may also stand alone, shape (n,).
        covariance: C, shape (n, n).

    Returns:
        Covariance of the outcome, shape (m, m), or the variance of the single one.
    """
    return np.asarray(jacobian @ covariance @ jacobian.T)
