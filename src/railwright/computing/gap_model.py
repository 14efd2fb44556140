"""The linear model of one section's wires: gaps between neighbours, one head width, and readings taken over them.

The unknowns of a section of n heads are its n-1 gaps and the head width, in this order; all are Gaussian. Every
reading is a sum of neighbouring gaps plus some head widths, read with an uncertainty: see ``Sight``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import Literal

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.readings import head_width, u_of
from railwright.computing.results import Array
from railwright.survey.designs import SectionDesign
from railwright.survey.records import Register, SectionSurvey, Survey

RUN_SPACES = 7
RUN_HEADS = RUN_SPACES + 1
Run = Literal["run", "run_end"]


@dataclass(frozen=True, slots=True)
class GapPrior:
    """What the shop knows of a section's gaps and heads before any reading; mm, ``drift_length`` in gaps.

    A section of a known ``design`` is known better: its gaps are the design's, but for what differs between pianos of
    that design. It counts for sections of as many heads as the design has, and for no others. So many gaps ``beyond``
    the last head may be among the unknowns, too; of those the design tells as far as they go on like its own.
    """

    pitch_mm: float
    pitch_sd_mm: float
    drift_mm: float
    drift_length: float
    scatter_mm: float
    head_mm: float
    head_u_mm: float
    design: SectionDesign | None = None
    beyond: int = 0


@dataclass(frozen=True, slots=True)
class Sight:
    """One reading as a line of sight on the unknowns.

    The reading is ``scale * (sum of gaps + heads * head width + offset_mm + e)``, where the sum takes ``gaps`` gaps
    from ``first_gap`` (1 at the bass) and e is Gaussian with standard uncertainty ``u_mm``. A reading without a slip
    has no offset and a scale of 1. ``step_mm`` is the step it was rounded to, which is part of ``u_mm``; 0 where that
    does not matter.
    """

    first_gap: int
    gaps: int
    heads: float
    u_mm: float
    offset_mm: float = 0.0
    scale: float = 1.0
    step_mm: float = 0.0


def prior_of(survey: Survey, book: ShopBook) -> GapPrior:
    """Collect the prior of one instrument's sections: the shop book's, with the head width as read where it was.

    Args:
        survey: gives the head width and its reading step.
        book: gives pitch, its spread, drift, scatter and the usual head width.

    Returns:
        The prior, mm.
    """
    width = head_width(survey, book)
    pitch = book.value("pitch")
    return GapPrior(
        pitch_mm=pitch,
        pitch_sd_mm=book.value("pitch_sd"),
        drift_mm=book.value("drift") / 100.0 * pitch,
        drift_length=book.value("drift_length"),
        scatter_mm=book.value("scatter"),
        head_mm=width.value,
        head_u_mm=width.u,
    )


@lru_cache(maxsize=512)
def prior_moments(prior: GapPrior, heads: int) -> tuple[Array, Array]:
    """Mean and covariance of the unknowns before any reading.

    The gaps share one pitch, drift slowly (squared-exponential covariance) and scatter each on its own.

    Args:
        prior: what the shop knows.
        heads: number of heads n, 2 or more, and of gaps beyond them.

    Returns:
        Mean, shape (n,), mm, and covariance, shape (n, n), mm2; the head width comes last. Read-only.
    """
    mean = np.full(heads, prior.pitch_mm)
    mean[-1] = prior.head_mm
    covariance = np.zeros((heads, heads))
    if prior.design is not None and prior.design.dampers + prior.beyond == heads:
        mean[:-1], covariance[:-1, :-1] = _gaps_of_design(prior, prior.design)
    else:
        covariance[:-1, :-1] = _alike(prior, heads - 1, prior.pitch_sd_mm**2)
    covariance[range(heads - 1), range(heads - 1)] += prior.scatter_mm**2
    covariance[-1, -1] = prior.head_u_mm**2
    mean.flags.writeable = covariance.flags.writeable = False
    return mean, covariance


def _alike(prior: GapPrior, gaps: int, pitch_variance: float) -> Array:
    """Give the covariance of what gaps share: one pitch of this variance (mm2), and the slow drift."""
    place = np.arange(gaps, dtype=float)
    distance = (place[:, None] - place[None, :]) / prior.drift_length
    shared: Array = pitch_variance + prior.drift_mm**2 * np.exp(-0.5 * distance**2)
    return shared


def _gaps_of_design(prior: GapPrior, design: SectionDesign) -> tuple[Array, Array]:
    """Mean and covariance of a further piano's gaps, its own scatter left out, given what is known of its design.

    A piano's gaps are the design's gaps, plus a difference of its own in pitch, plus scatter. The design's gaps have
    the shop's prior, less what is the pianos' own, and are seen through the design's lengths.
    """
    gaps, own = design.dampers - 1 + prior.beyond, design.pitch_sd_mm**2
    shared = _alike(prior, gaps, max(prior.pitch_sd_mm**2 - own, 0.0))
    rows = np.pad(rows_of(design.fields, design.dampers, design.treble), ((0, 0), (0, prior.beyond)))
    towards = shared @ rows.T
    gain = np.linalg.solve(rows @ towards + np.array(design.cov_mm2), towards.T).T
    mean = prior.pitch_mm + gain @ (np.array(design.sums_mm) - prior.pitch_mm * rows.sum(axis=1))
    spread = shared - gain @ towards.T
    return mean, (spread + spread.T) / 2.0 + own


def rows_of(fields: Sequence[str], heads: int, treble: bool) -> Array:
    """Write readings as rows over the gaps alone, heads left out: shape (number of fields, heads - 1)."""
    register: Register = "treble" if treble else "tenor"
    runs: dict[str, Run] = {"run": "run", "run_end": "run_end"}
    sights = [
        span_sight(heads, 0.0) if name == "span" else run_sight(heads, register, runs[name], 0.0) for name in fields
    ]
    return design_matrix(sights, heads)[:, :-1]


def run_start(heads: int, register: Register | None, which: Run = "run") -> int:
    """Head (1 at the bass) whose bass-side edge a seven-space run starts from.

    The run lies in the middle of the section, in a treble section at its treble end where the pins leave room. A
    second run lies at the treble end, in a treble section at the bass end.

    Args:
        heads: number of heads n, 8 or more.
        register: the section's register; without one it is taken as no treble section.
        which: ``run`` or ``run_end``.

    Returns:
        The head's number; also the number of the run's first gap.

    Raises:
        ValueError: fewer than eight heads have no seven-space run.
    """
    if heads < RUN_HEADS:
        raise ValueError(f"a run of seven spaces needs {RUN_HEADS} heads, not {heads}")
    at_treble_end = heads - RUN_SPACES
    if which == "run":
        return at_treble_end if register == "treble" else (heads - RUN_HEADS) // 2 + 1
    return 1 if register == "treble" else at_treble_end


def span_sight(heads: int, u_mm: float) -> Sight:
    """See the span over the heads: every gap and one head width (half a head beyond each end wire)."""
    return Sight(1, heads - 1, 1.0, u_mm)


def run_sight(heads: int, register: Register | None, which: Run, u_mm: float, step_mm: float = 0.0) -> Sight:
    """See a seven-space run: seven gaps, from an edge of one head to the same edge of another."""
    return Sight(run_start(heads, register, which), RUN_SPACES, 0.0, u_mm, step_mm=step_mm)


def sights_of(section: SectionSurvey, survey: Survey, book: ShopBook) -> dict[str, tuple[Sight, float]]:
    """List the readings that see a section's gaps, by field name, as sight and written value (mm).

    Runs in a section of fewer than eight heads are left out: there is no such run.

    Args:
        section: a section with two heads or more.
        survey: gives the reading steps.
        book: gives the setting uncertainty.

    Returns:
        Some of ``span``, ``run`` and ``run_end``, in this order.
    """
    heads = section.dampers or 0
    found: dict[str, tuple[Sight, float]] = {}
    if section.span_mm is not None:
        found["span"] = (span_sight(heads, u_of(section.key("span"), survey, book)), section.span_mm)
    for which, written in (("run", section.run_mm), ("run_end", section.run_end_mm)):
        if written is not None and heads >= RUN_HEADS:
            u_mm, step_mm = u_of(section.key(which), survey, book), survey.step_of(section.key(which))
            kind: Run = "run" if which == "run" else "run_end"
            found[which] = (run_sight(heads, section.register, kind, u_mm, step_mm), written)
    return found


@lru_cache(maxsize=1024)
def shared_rounding(one: Sight, other: Sight) -> float:
    """Covariance of the rounding of two readings of the same spaces: they mostly round alike.

    Rounding errors are a periodic function of what is rounded. Where that is spread evenly over a step, and the two
    lengths differ by the offset d and the setting of both, Gaussian with variance s^2, the Fourier series gives
    r^2/12 * 6/pi^2 * sum_k cos(2 pi k d/r) exp(-2 (pi k s/r)^2) / k^2. Readings of different spaces differ by more
    than a step can tell, and count as independent.

    Args:
        one: a reading.
        other: another one.

    Returns:
        The covariance, mm2, in true lengths; 0 where the two see different spaces or were rounded to different steps.
    """
    step = one.step_mm
    same = (one.first_gap, one.gaps, one.heads, one.scale) == (other.first_gap, other.gaps, other.heads, other.scale)
    if not same or step != other.step_mm or step <= 0.0:
        return 0.0
    rounding = step**2 / 12.0
    setting = max(one.u_mm**2 - rounding, 0.0) + max(other.u_mm**2 - rounding, 0.0)
    turn = 2.0 * math.pi / step
    apart = one.offset_mm - other.offset_mm
    terms = (math.cos(turn * k * apart) * math.exp(-0.5 * setting * (turn * k) ** 2) / k**2 for k in range(1, 20))
    return rounding * 6.0 / math.pi**2 * math.fsum(terms)


def noise_of(sights: Sequence[Sight]) -> Array:
    """Covariance of the reading errors, shape (k, k), mm2, scale included."""
    noise = np.diag([(sight.scale * sight.u_mm) ** 2 for sight in sights])
    for (i, one), (j, other) in combinations(enumerate(sights), 2):
        noise[i, j] = noise[j, i] = one.scale * other.scale * shared_rounding(one, other)
    return noise


def design_matrix(sights: list[Sight], heads: int) -> Array:
    """Write sights as rows over the unknowns, scale included: shape (number of sights, heads)."""
    rows = np.zeros((len(sights), heads))
    for row, sight in zip(rows, sights, strict=True):
        row[sight.first_gap - 1 : sight.first_gap - 1 + sight.gaps] = sight.scale
        row[-1] = sight.scale * sight.heads
    return rows


def predicted(sights: list[Sight], prior: GapPrior, heads: int) -> tuple[Array, Array]:
    """Predict readings before any is known: mean A m + c, covariance A P A' + R.

    Args:
        sights: what is read.
        prior: what the shop knows.
        heads: number of heads n.

    Returns:
        Mean, shape (k,), mm, and covariance, shape (k, k), mm2.
    """
    mean, covariance = prior_moments(prior, heads)
    rows = design_matrix(sights, heads)
    offsets = np.array([sight.scale * sight.offset_mm for sight in sights])
    return rows @ mean + offsets, rows @ covariance @ rows.T + noise_of(sights)


def condition(sights: list[Sight], written_mm: list[float], prior: GapPrior, heads: int) -> tuple[Array, Array]:
    """Update the unknowns by readings: generalised least squares with the prior as pseudo-observations.

    m' = m + P A' (A P A' + R)^-1 (y - A m - c),  P' = P - P A' (A P A' + R)^-1 A P.

    Args:
        sights: what was read.
        written_mm: the readings y in the same order, mm.
        prior: what the shop knows.
        heads: number of heads n.

    Returns:
        Posterior mean, shape (n,), mm, and covariance, shape (n, n), mm2; the head width comes last.
    """
    mean, covariance = prior_moments(prior, heads)
    expected, spread = predicted(sights, prior, heads)
    towards = covariance @ design_matrix(sights, heads).T
    gain = np.linalg.solve(spread, towards.T).T
    posterior = covariance - gain @ towards.T
    return mean + gain @ (np.array(written_mm) - expected), (posterior + posterior.T) / 2.0
