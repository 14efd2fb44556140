"""One design of one section, from the readings of several pianos: its mean, and how much pianos of it differ.

A one-way random-effects model with several readings each. The lengths under the readings of piano j are
y_j = f + d_j + e_j: f the design's own lengths, Gaussian by the shop's prior of gaps; d_j what is the piano's own, a
difference in pitch of standard deviation sigma and the scatter of its gaps; e_j the error of reading. Given sigma all
is Gaussian; sigma itself has a log-normal prior and is weighed on a grid by its marginal likelihood. Searle, Casella
and McCulloch, Variance Components (1992), chapters 3 and 9, from memory.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.gap_model import RUN_HEADS, GapPrior, noise_of, prior_moments, rows_of, run_sight, span_sight
from railwright.computing.results import Array
from railwright.survey.designs import SectionDesign
from railwright.survey.records import Register

FIELDS = ("span", "run", "run_end")
#: The grid of sigma: so many points from so many to so many log standard deviations about its prior middle.
_GRID_POINTS, _GRID_REACH = 9, 2.5


@dataclass(frozen=True, slots=True)
class SpreadPrior:
    """What is known of sigma (mm) beforehand: its middle, and the factor within which it lies two times of three."""

    middle_mm: float
    factor: float

    def grid(self, most_mm: float) -> tuple[Array, Array]:
        """Give values of sigma, none above ``most_mm``, and the logarithms of their prior weights."""
        nodes = np.linspace(-_GRID_REACH, _GRID_REACH, _GRID_POINTS)
        return np.minimum(self.middle_mm * self.factor**nodes, most_mm), -0.5 * nodes**2


def spread_prior_of(book: ShopBook) -> SpreadPrior:
    """Read what the shop book says of the spread between pianos of one design."""
    return SpreadPrior(book.value("kind_pitch_sd"), book.value("kind_pitch_sd_factor"))


@dataclass(frozen=True, slots=True)
class Frame:
    """What the prior says of the lengths under the readings of a section of so many heads.

    ``fields`` are the readings that such a section can have, ``mean_mm`` the lengths expected before any, ``ones`` how
    many gaps each holds; ``alike_mm2`` the covariance of what pianos of a design share but for their pitch,
    ``own_mm2`` that of each piano's own scatter.
    """

    heads: int
    treble: bool
    fields: tuple[str, ...]
    mean_mm: Array
    ones: Array
    alike_mm2: Array
    own_mm2: Array
    pitch_variance: float

    def of_design(self, sigma_mm: Array) -> Array:
        """Covariance of the design's own lengths before any reading, one for each sigma, shape (g, k, k), mm2."""
        variance = np.maximum(self.pitch_variance - sigma_mm**2, 0.0)
        return variance[:, None, None] * np.outer(self.ones, self.ones) + self.alike_mm2

    def of_piano(self, sigma_mm: Array) -> Array:
        """Covariance of what one piano's lengths differ from its design's, one for each sigma, shape (g, k, k), mm2."""
        return np.square(sigma_mm)[:, None, None] * np.outer(self.ones, self.ones) + self.own_mm2


@lru_cache(maxsize=256)
def frame_of(prior: GapPrior, heads: int, treble: bool) -> Frame:
    """Work out the frame of a section's count and place; ``prior`` is the shop's, of no design."""
    fields = FIELDS if heads >= RUN_HEADS else FIELDS[:1]
    rows = rows_of(fields, heads, treble)
    smooth = replace(prior, scatter_mm=0.0, pitch_sd_mm=0.0)
    mean, shared = prior_moments(smooth, heads)
    alike, own = rows @ shared[:-1, :-1] @ rows.T, prior.scatter_mm**2 * (rows @ rows.T)
    return Frame(heads, treble, fields, rows @ mean[:-1], rows.sum(axis=1), alike, own, prior.pitch_sd_mm**2)


@dataclass(frozen=True, slots=True)
class Kin:
    """One earlier piano's section in a frame: which readings it has, by place; the lengths under them and their noise.

    A span is taken less its head width; ``noise_mm2`` holds the doubt of both.
    """

    places: tuple[int, ...]
    lengths_mm: Array
    noise_mm2: Array


def kin_in(frame: Frame, readings: dict[str, tuple[float, float, float]], head_mm: float, head_u_mm: float) -> Kin:
    """Put an earlier piano's readings into a frame.

    Args:
        frame: of its count and place.
        readings: by field value, standard uncertainty and step, mm; those that the frame has no place for are left out.
        head_mm: its head width, mm.
        head_u_mm: standard uncertainty of that, mm.

    Returns:
        The same as lengths.
    """
    names = [name for name in frame.fields if name in readings]
    register: Register = "treble" if frame.treble else "tenor"
    sights = [
        span_sight(frame.heads, readings[name][1])
        if name == "span"
        else run_sight(frame.heads, register, "run" if name == "run" else "run_end", *readings[name][1:])
        for name in names
    ]
    noise, lengths = noise_of(sights), np.array([readings[name][0] for name in names])
    if "span" in names:
        lengths[0] -= head_mm
        noise[0, 0] += head_u_mm**2
    return Kin(tuple(frame.fields.index(name) for name in names), lengths, noise)


@dataclass(slots=True)
class _Group:
    """Pianos with the same readings, read as finely: how many, and the sums of what they differ from the prior mean."""

    noise: Array
    count: int
    total: Array
    squares: Array


@dataclass(slots=True)
class Tally:
    """What the pianos of one design add up to; they are added one by one."""

    frame: Frame
    spread: SpreadPrior
    count: int = 0
    groups: dict[tuple[tuple[int, ...], bytes], _Group] = field(default_factory=dict)
    _sigma_mm: float = 0.0
    _sigma_of: int = 0

    def add(self, kin: Kin) -> None:
        """Count one more piano in."""
        apart = kin.lengths_mm - self.frame.mean_mm[list(kin.places)]
        size = len(kin.places)
        empty = _Group(kin.noise_mm2, 0, np.zeros(size), np.zeros((size, size)))
        group = self.groups.setdefault((kin.places, kin.noise_mm2.tobytes()), empty)
        group.count += 1
        group.total = group.total + apart
        group.squares = group.squares + np.outer(apart, apart)
        self.count += 1

    def sigma_mm(self) -> float:
        """How much the pitch differs between pianos, mm: the root of its mean square, prior and pianos together."""
        values, weights = self.spread_weights()
        return math.sqrt(float(weights @ values**2))

    def spread_weights(self) -> tuple[Array, Array]:
        """Give the grid of sigma (mm) and the probability of each value."""
        values, scores, _ = self._scores()
        weights = np.exp(scores - scores.max())
        return values, weights / weights.sum()

    def log_evidence(self) -> float:
        """Give the logarithm of the marginal likelihood of all readings, sigma averaged out."""
        _, scores, log_prior = self._scores()
        return float(np.logaddexp.reduce(scores) - np.logaddexp.reduce(log_prior))

    def _scores(self) -> tuple[Array, Array, Array]:
        values, log_prior = self.spread.grid(math.sqrt(self.frame.pitch_variance))
        return values, log_prior + self.log_likelihood(values), log_prior

    def _sigma_so_far(self) -> float:
        """Give sigma for sorting: reckoned anew only when there are twice as many pianos, as it is costly.

        One piano tells nothing of it.
        """
        if self.count < 2:
            values, log_prior = self.spread.grid(math.sqrt(self.frame.pitch_variance))
            return math.sqrt(float(np.average(values**2, weights=np.exp(log_prior))))
        if self.count >= 2 * self._sigma_of:
            self._sigma_mm, self._sigma_of = self.sigma_mm(), self.count
        return self._sigma_mm

    def log_likelihood(self, sigma_mm: Array) -> Array:
        """Give the logarithm of the marginal likelihood of all readings at each sigma.

        With W the covariance of piano and reading, L = sum W^-1, h = sum W^-1 r and C the design's covariance:
        -(sum log det W + sum r' W^-1 r + log det(1 + C L) - h' (1 + C L)^-1 C h + N log 2 pi) / 2.

        Args:
            sigma_mm: spreads of pitch between pianos, shape (g,), mm.

        Returns:
            The logarithms, shape (g,).
        """
        twice, own = np.zeros(len(sigma_mm)), self.frame.of_piano(sigma_mm)
        for (places, _), group in self.groups.items():
            spread = own[:, places, :][:, :, places] + group.noise
            log_determinant = np.linalg.slogdet(spread)[1] + len(places) * math.log(2.0 * math.pi)
            squares = np.einsum("gij,ji->g", np.linalg.inv(spread), group.squares)
            twice += group.count * log_determinant + squares
        precision, pull = self.information(sigma_mm)
        design = self.frame.of_design(sigma_mm)
        both = np.eye(len(self.frame.fields)) + design @ precision
        explained = np.linalg.solve(both, design @ pull[:, :, None])[:, :, 0]
        twice += np.linalg.slogdet(both)[1] - np.einsum("gi,gi->g", pull, explained)
        return -0.5 * twice

    def information(self, sigma_mm: Array) -> tuple[Array, Array]:
        """Sum the precisions of all pianos about the design's lengths, and those times what was read.

        Args:
            sigma_mm: spreads of pitch between pianos, shape (g,), mm.

        Returns:
            The precision L, shape (g, k, k), 1/mm2, and L times the best lengths less the prior mean, shape (g, k).
        """
        size = len(self.frame.fields)
        precision, pull = np.zeros((len(sigma_mm), size, size)), np.zeros((len(sigma_mm), size))
        own = self.frame.of_piano(sigma_mm)
        for (places, _), group in self.groups.items():
            inverse = np.linalg.inv(own[:, places, :][:, :, places] + group.noise)
            precision[:, np.array(places)[:, None], np.array(places)] += group.count * inverse
            pull[:, places] += inverse @ group.total
        return precision, pull

    def misfit(self, kin: Kin) -> float:
        """Squared distance of a further piano's readings from their prediction; chi-square where it has this design."""
        sigma, at = np.array([self._sigma_so_far()]), list(kin.places)
        precision, pull = (each[0] for each in self.information(sigma))
        prior = self.frame.of_design(sigma)[0]
        known = np.linalg.solve(np.eye(len(pull)) + prior @ precision, prior)
        mean = self.frame.mean_mm + known @ pull
        spread = (known + self.frame.of_piano(sigma)[0])[np.ix_(at, at)] + kin.noise_mm2
        apart = kin.lengths_mm - mean[at]
        return float(apart @ np.linalg.solve(spread, apart))

    def design(self) -> SectionDesign:
        """Give what is known of the design, for later pianos."""
        sigma = self.sigma_mm()
        precision, pull = (each[0] for each in self.information(np.array([sigma])))
        seen = np.flatnonzero(np.diag(precision) > 0.0)
        covariance = np.linalg.inv(precision[np.ix_(seen, seen)])
        covariance = (covariance + covariance.T) / 2.0
        return SectionDesign(
            dampers=self.frame.heads,
            treble=self.frame.treble,
            surveys=self.count,
            fields=tuple(self.frame.fields[place] for place in seen.tolist()),
            sums_mm=tuple((self.frame.mean_mm[seen] + covariance @ pull[seen]).tolist()),
            cov_mm2=tuple(tuple(row) for row in covariance.tolist()),
            pitch_sd_mm=sigma,
        )


def tally_of(frame: Frame, spread: SpreadPrior, kin: Iterable[Kin]) -> Tally:
    """Add up pianos that are taken to have one design."""
    tally = Tally(frame, spread)
    for one in kin:
        tally.add(one)
    return tally
