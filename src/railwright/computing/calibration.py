"""Learning the shop book's spacing values from sections whose wires were measured at fitting.

The distances between neighbouring confirmed wires are Gaussian with one mean pitch and a covariance that is a sum of
three parts: pitch from section to section, slow drift along the section, scatter of every gap; and the known
uncertainty of confirming. The three variances maximise the restricted marginal likelihood, in which the mean pitch is
integrated out; their uncertainty comes from the expected information. Fisher scoring as in Searle, Casella and
McCulloch, Variance Components (1992), chapters 6 and 8, from memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.readings import reading_u
from railwright.computing.results import Array
from railwright.survey.confirmed import ConfirmedWires

#: Fewer sections than this say nothing of how the pitch differs between sections.
FEWEST_SECTIONS = 3
_FEWEST_WIRES = 3
_LEAST_VARIANCE = 1e-8
_MOST_STEPS = 200
_CLOSE = 1e-9


@dataclass(frozen=True, slots=True)
class ConfirmedSection:
    """Wire positions of one section as measured at fitting, from any origin; ``None`` for a wire left out.

    ``u_mm`` is the standard uncertainty of one position.
    """

    x_mm: tuple[float | None, ...]
    u_mm: float


def confirmed_section(wires: ConfirmedWires, book: ShopBook) -> ConfirmedSection:
    """Give wires read from a workbook the uncertainty of reading them."""
    return ConfirmedSection(wires.x_mm, reading_u(wires.step_mm, book.value("u_set")))


@dataclass(frozen=True, slots=True)
class Proposal:
    """A value for one key of the shop book, its standard uncertainty, and the value that the book holds now."""

    key: str
    value: float
    u: float
    now: float
    unit: str


@dataclass(frozen=True, slots=True)
class Calibration:
    """What the confirmed sections say. ``log_likelihood`` is the restricted one, at the values proposed."""

    proposals: tuple[Proposal, ...]
    sections: int
    wires: int
    log_likelihood: float


@dataclass(frozen=True, slots=True)
class _Block:
    """One section's distances y between confirmed wires, the gaps h in each, and the parts of their covariance."""

    distance: Array
    gaps: Array
    parts: tuple[Array, ...]
    noise: Array


@dataclass(frozen=True, slots=True)
class _State:
    """Pitch and its variance, restricted log likelihood, score and expected information at some variances."""

    pitch: float
    pitch_variance: float
    log_likelihood: float
    score: Array
    information: Array


def calibrate(sections: Sequence[ConfirmedSection], book: ShopBook) -> Calibration:
    """Propose pitch, its spread between sections, drift and scatter from confirmed wire positions.

    The length of the drift is taken from the shop book; it is not fitted. Nothing is applied.

    Args:
        sections: confirmed sections; those of fewer than three confirmed wires are left out.
        book: gives the drift length and the present values.

    Returns:
        Four proposals with standard uncertainties: pitch, pitch_sd, drift (% of pitch) and scatter.

    Raises:
        ValueError: fewer than three usable sections.
    """
    blocks = [_block(section, book.value("drift_length")) for section in sections if _wires(section) >= _FEWEST_WIRES]
    if len(blocks) < FEWEST_SECTIONS:
        raise ValueError(f"confirmed wires of at least {FEWEST_SECTIONS} sections are needed, not {len(blocks)}")
    variances, state = _most_likely(blocks, _first_guess(book))
    wires = sum(block.distance.size + 1 for block in blocks)
    return Calibration(_proposals(variances, state, book), len(blocks), wires, state.log_likelihood)


def _wires(section: ConfirmedSection) -> int:
    return sum(x is not None for x in section.x_mm)


def _block(section: ConfirmedSection, drift_length: float) -> _Block:
    """Turn positions into distances between neighbouring confirmed wires, and sum the gaps in between."""
    at = [place for place, x in enumerate(section.x_mm) if x is not None]
    x = np.array([value for value in section.x_mm if value is not None])
    place = np.arange(len(section.x_mm) - 1.0)
    sums = np.array([(place >= a) & (place < b) for a, b in pairwise(at)], dtype=float)
    alike = np.exp(-0.5 * (np.subtract.outer(place, place) / drift_length) ** 2)
    kernels = (np.ones_like(alike), alike, np.eye(place.size))
    difference = np.diff(np.eye(x.size), axis=0)
    return _Block(
        distance=np.diff(x),
        gaps=sums.sum(axis=1),
        parts=tuple(sums @ kernel @ sums.T for kernel in kernels),
        noise=section.u_mm**2 * (difference @ difference.T),
    )


def _first_guess(book: ShopBook) -> Array:
    drift = book.value("drift") / 100.0 * book.value("pitch")
    return np.array([book.value("pitch_sd"), drift, book.value("scatter")]) ** 2


def _state(blocks: Sequence[_Block], variances: Array) -> _State:
    """Work out pitch, likelihood, score and information at given variances.

    With V the covariance, a = V^-1 h and P = V^-1 - a a' / sum(h' a): score_k = (y' P K_k P y - tr(P K_k)) / 2,
    information_kl = tr(P K_k P K_l) / 2. Sections are independent, so all but the pitch goes block by block.
    """
    inverses = [_inverse(block, variances) for block in blocks]
    leaning = [inverse @ block.gaps for inverse, block in zip(inverses, blocks, strict=True)]
    weight = sum(float(block.gaps @ a) for block, a in zip(blocks, leaning, strict=True))
    pitch = sum(float(block.distance @ a) for block, a in zip(blocks, leaning, strict=True)) / weight
    log_likelihood = 0.5 * math.log(2.0 * math.pi / weight)
    log_likelihood += sum(_log_density(b, pitch, i) for b, i in zip(blocks, inverses, strict=True))
    sums = [_slopes(b, pitch, i, a) for b, i, a in zip(blocks, inverses, leaning, strict=True)]
    quadratic, trace, lean, both, crossed = (np.sum(each, axis=0) for each in zip(*sums, strict=True))
    score = 0.5 * (quadratic - (trace - lean / weight))
    information = 0.5 * (both - 2.0 * crossed / weight + np.outer(lean, lean) / weight**2)
    return _State(pitch, 1.0 / weight, log_likelihood, score, information)


def _log_density(block: _Block, pitch: float, inverse: Array) -> float:
    """Log density of one section's distances at a known pitch."""
    residual = block.distance - pitch * block.gaps
    log_determinant = float(np.linalg.slogdet(inverse)[1])
    return 0.5 * (log_determinant - float(residual @ inverse @ residual) - residual.size * math.log(2.0 * math.pi))


def _slopes(block: _Block, pitch: float, inverse: Array, a: Array) -> tuple[Array, Array, Array, Array, Array]:
    """One section's share in score and information.

    With r = V^-1 (y - pitch h): r' K_k r, tr(V^-1 K_k), a' K_k a, tr(V^-1 K_k V^-1 K_l) and a' K_k V^-1 K_l a.
    """
    r = inverse @ (block.distance - pitch * block.gaps)
    parts = np.stack(block.parts)
    reach, pulled = parts @ inverse, parts @ a
    return (
        np.asarray(parts @ r @ r),
        np.trace(reach, axis1=1, axis2=2),
        np.asarray(pulled @ a),
        np.einsum("kij,lji->kl", reach, reach),
        np.asarray(pulled @ inverse @ pulled.T),
    )


def _inverse(block: _Block, variances: Array) -> Array:
    covariance = block.noise + sum(v * part for v, part in zip(variances.tolist(), block.parts, strict=True))
    return np.asarray(np.linalg.inv(covariance))


def _most_likely(blocks: Sequence[_Block], variances: Array) -> tuple[Array, _State]:
    """Climb by Fisher scoring; a variance that would turn negative stops at nothing, a step too long is halved."""
    state = _state(blocks, variances)
    for _ in range(_MOST_STEPS):
        step = _step(state, variances)
        for _ in range(30):
            tried = np.maximum(variances + step, _LEAST_VARIANCE)
            after = _state(blocks, tried)
            if after.log_likelihood >= state.log_likelihood:
                break
            step = step / 2.0
        gained = after.log_likelihood - state.log_likelihood
        if gained < 0.0:
            break
        variances, state = tried, after
        if gained < _CLOSE:
            break
    return variances, state


def _step(state: _State, variances: Array) -> Array:
    """Solve information x step = score over the variances that are free to move."""
    free = (variances > _LEAST_VARIANCE * 1.001) | (state.score > 0.0)
    step = np.zeros_like(variances)
    if free.any():
        step[free] = np.linalg.lstsq(state.information[np.ix_(free, free)], state.score[free], rcond=None)[0]
    return step


def _proposals(variances: Array, state: _State, book: ShopBook) -> tuple[Proposal, ...]:
    """Turn variances into shop-book values; u(sd) = u(variance) / (2 sd)."""
    u_variances = np.sqrt(np.maximum(np.diag(np.linalg.pinv(state.information)), 0.0))
    sd = np.sqrt(variances)
    u = u_variances / (2.0 * np.maximum(sd, math.sqrt(_LEAST_VARIANCE)))
    u = np.minimum(u, np.sqrt(u_variances))  # at nothing the square root has no slope; its size is bounded by this
    to_percent = 100.0 / state.pitch
    rows = (
        ("pitch", state.pitch, math.sqrt(state.pitch_variance), "mm"),
        ("pitch_sd", float(sd[0]), float(u[0]), "mm"),
        ("drift", float(sd[1]) * to_percent, float(u[1]) * to_percent, "% of pitch"),
        ("scatter", float(sd[2]), float(u[2]), "mm"),
    )
    return tuple(Proposal(key, value, u_value, book.value(key), unit) for key, value, u_value, unit in rows)
