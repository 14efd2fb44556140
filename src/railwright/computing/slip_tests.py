"""Do count, span and run of a section agree? Each test predicts one reading from all the others.

Two readings of the same spaces are not two views of a section but the same one twice: what there is to test is how far
they differ from each other. They are rounded to the same steps, so that they differ by none or one of them nearly
always; their difference is judged by its own law, not by the normal one.

A comparison of rounded readings moves in whole or half steps where such multiples of them are compared, as where two
runs cover exactly the span. A normal law then counts only half of the step that a difference has reached:
``moving_in_steps_mm`` says how much nearer the difference is to be taken for that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.normal import beyond, two_sided, unit_loss
from railwright.computing.results import Array
from railwright.computing.slip_cases import Case, case_of, fewest_heads, predicted_as_meant, testable
from railwright.survey.records import SectionSurvey, Survey

#: Share by which moving in steps may make more false alarms than the normal law: 0.93 % become 0.98 %.
MORE_THAN_DUE = 0.05
_WAVES = (1, 2, 3)
#: Waves are as good as flat at e to the minus this; further on an office program takes the number for none.
_FLAT = 50.0


@dataclass(frozen=True, slots=True)
class Innovation:
    """One reading against its prediction from all the others.

    ``z`` is the disagreement in standard deviations of the prediction, above 0 where the reading is longer than
    predicted, less what goes for moving in steps; or, for readings of the same spaces, the normal value that is
    as rare. Beyond ``limit`` it is a finding.
    """

    field: str
    written_mm: float
    predicted_mm: float
    sd_mm: float
    z: float
    limit: float

    @property
    def excess(self) -> float:
        """Size of the disagreement in limits: above 1 it is a finding."""
        return abs(self.z) / self.limit


def limit_of(key: str, book: ShopBook) -> float:
    """Give the limit of a test by the reading that it predicts: the span's own, or that of a second run."""
    return book.value("slip_k_second" if key.endswith("run_end") else "slip_k")


def innovations(section: SectionSurvey, survey: Survey, book: ShopBook) -> tuple[Innovation, ...]:
    """Test a section's readings: the span given count and runs, and a second run given count, span and run.

    Count, span and run are one test, however it is turned; a second run adds one more. With no run at all the span
    is predicted from the count and the usual pitch. Where only a second run was taken it serves as the run. A second
    run over the spaces of the first is compared with that alone.

    Args:
        section: the section's readings.
        survey: gives the head width and reading steps.
        book: gives the prior and the limits.

    Returns:
        One or two tests, the span's first; none where count or span is missing or no section has such a count.
    """
    if not testable(section):
        return ()
    case, written = case_of(section, survey, book)
    mean, spread = predicted_as_meant(case, case.heads)
    found = [
        _innovation(section.key(key), key, case, written, (mean, spread), limit_of(key, book))
        for key in predictable(case)
    ]
    if case.runs_over_the_same_spaces:
        found.append(_repeat(section.key("run_end"), case, written, limit_of("run_end", book)))
    return tuple(found)


def predictable(case: Case) -> tuple[str, ...]:
    """List the readings that are tested against all the others: the span, and a second run over other spaces."""
    second = {"run", "run_end"} <= set(case.fields) and not case.runs_over_the_same_spaces
    return ("span", "run_end") if second else ("span",)


def innovation(section: SectionSurvey, survey: Survey, book: ShopBook) -> float | None:
    """Give the disagreement of the span with count and runs in standard deviations; ``None`` where untestable."""
    tests = innovations(section, survey, book)
    return tests[0].z if tests else None


def power_of_count_test(section: SectionSurvey, survey: Survey, book: ShopBook) -> float | None:
    """Probability that a count one too high or too low would be found with the readings that were taken.

    Written z is linear in the readings, so with another true count it is normal with a shifted mean and another
    spread. Where there are two tests the better one counts, which is a little below the chance of either.

    Args:
        section: the section's readings; their values play no part, only which there are and how finely read.
        survey: gives the head width and reading steps.
        book: gives the prior and the limits.

    Returns:
        The mean of the two chances, 0 to 1; ``None`` where the section cannot be tested.
    """
    if not testable(section):
        return None
    case, _ = case_of(section, survey, book)
    true_counts = [heads for heads in (case.heads - 1, case.heads + 1) if heads >= fewest_heads(case)]
    chances = [_chance_to_see(case, heads, book) for heads in true_counts]
    return math.fsum(chances) / len(chances)


def _innovation(
    key: str, name: str, case: Case, written: Array, moments: tuple[Array, Array], limit: float
) -> Innovation:
    """Predict one reading from the others by the conditional normal law."""
    place = case.fields.index(name)
    coefficients, variance = contrast(place, moments[1])
    difference, sd_mm = float(coefficients @ (written - moments[0])), math.sqrt(variance)
    beyond_steps = max(abs(difference) - moving_in_steps_mm(name, case, coefficients, moments, limit), 0.0)
    z = math.copysign(beyond_steps / sd_mm, difference)
    return Innovation(key, float(written[place]), float(written[place]) - difference, sd_mm, z, limit)


def moving_in_steps_mm(name: str, case: Case, coefficients: Array, moments: tuple[Array, Array], limit: float) -> float:
    """How much nearer to nought a difference of span and prediction counts, where moving in steps brings false alarms.

    With whole coefficients c the difference takes values one step r apart; with whole halves, half as far. What c lacks
    to those, d, blurs this by the variance v = d' S d. By the characteristic function of rounded readings the normal
    density of the difference x, of standard deviation s, is then multiplied by 1 + 2 sum_h a_h cos(h w (x + m)), with
    w = 2 pi / r, a_h = exp(-(h w)^2 v / 2) and m the mean of the whole part. Beyond k standard deviations, with the
    hazard g of the normal law there, the chance is more by 2 g sum_h a_h (g cos t - h w s sin t) / (g^2 + (h w s)^2),
    t = h w (k s + m), for the upper end, as for an exponential tail; and by Edgeworth's series it is less by
    g K (k^3 - 3 k) / 24, the roundings having the excess -K = -r^4 sum c^4 / (120 s^4). Where both ends together have a
    twentieth more than their due, the difference counts a_1 r / 2 nearer, more than any wave can add (the continuity
    correction).
    A second run's limit is so wide that nothing is taken off there.

    Args:
        name: the reading that is predicted.
        case: the section; readings of different steps together move in none.
        coefficients: weights c of the readings in the difference, shape (k,).
        moments: mean, shape (k,), mm, and covariance S, shape (k, k), mm2, of the readings.
        limit: limit k of the test.

    Returns:
        At most half a step, mm.
    """
    step_mm = max(case.steps_mm, default=0.0)
    if name != "span" or step_mm <= 0.0 or max(case.u_mm) - min(case.u_mm) > 1e-9:
        return 0.0
    return max(_half_a_step(step_mm / parts, coefficients, parts, moments, limit) for parts in (1, 2))


def _half_a_step(step_mm: float, coefficients: Array, parts: int, moments: tuple[Array, Array], limit: float) -> float:
    """Half a step, mm, as far as it is not blurred; 0 where the waves bring no more false alarms than are due."""
    mean, spread = moments
    whole = np.round(coefficients * parts) / parts
    short = coefficients - whole
    height = math.exp(-min(2.0 * math.pi**2 * float(short @ spread @ short) / step_mm**2, _FLAT))
    turn, sd_mm = 2.0 * math.pi / step_mm, math.sqrt(float(coefficients @ spread @ coefficients))
    hazard = 2.0 * math.exp(-0.5 * limit**2) / math.sqrt(2.0 * math.pi) / math.erfc(limit / math.sqrt(2.0))
    excess = -((step_mm * parts) ** 4) * float(np.sum(coefficients**4)) / 120.0 / sd_mm**4
    more = hazard * excess * (limit**3 - 3.0 * limit) / 24.0
    for h in _WAVES:
        wave = h * turn * sd_mm
        for middle in (float(whole @ mean), -float(whole @ mean)):
            angle = h * turn * (limit * sd_mm + middle)
            ends = hazard * math.cos(angle) - wave * math.sin(angle)
            more += hazard * height ** (h * h) * ends / (hazard**2 + wave**2)
    return step_mm / 2.0 * height if more > MORE_THAN_DUE else 0.0


def _repeat(key: str, case: Case, written: Array, limit: float) -> Innovation:
    """Compare the second run with the first over the same spaces."""
    first, second = (case.fields.index(name) for name in ("run", "run_end"))
    difference = float(written[second] - written[first])
    u_mm, steps = [case.u_mm[i] for i in (first, second)], [case.steps_mm[i] for i in (first, second)]
    z = repeat_z(difference, (u_mm[0], u_mm[1]), (steps[0], steps[1]))
    return Innovation(key, float(written[second]), float(written[first]), math.hypot(*u_mm), z, limit)


@lru_cache(maxsize=256)
def repeat_z(difference_mm: float, u_mm: tuple[float, float], steps_mm: tuple[float, float]) -> float:
    """How rare so large a difference of two readings of the same length is, as a normal value with its sign.

    With both rounded to one step r and each set with its own error, the unrounded readings differ by a normal d of
    standard deviation s, and the lengths are spread evenly over a step: the rounded ones differ by m steps or more
    with probability E min(max(d/r - m + 1, 0), 1) = (s/r) [L((m-1) r/s) - L(m r/s)], L being the unit normal loss.
    Rounded to different steps, the difference is taken as normal.

    Args:
        difference_mm: second reading less first, mm.
        u_mm: their standard uncertainties, rounding included, mm.
        steps_mm: their steps, mm; 0 where not known.

    Returns:
        The normal value z; 0 where the readings are alike.
    """
    step = steps_mm[0]
    if step <= 0.0 or step != steps_mm[1]:
        return difference_mm / math.hypot(*u_mm)
    s = math.sqrt(max(sum(u**2 for u in u_mm) - step**2 / 6.0, 1e-12 * step**2))
    steps_apart = abs(difference_mm) / step
    tail = s / step * (unit_loss((steps_apart - 1.0) * step / s) - unit_loss(steps_apart * step / s))
    return math.copysign(two_sided(2.0 * tail), difference_mm)


def contrast(place: int, spread: Array) -> tuple[Array, float]:
    """Give the weights that turn readings into one reading less its prediction, and the variance of that."""
    coefficients = np.zeros(len(spread))
    others = [i for i in range(len(spread)) if i != place]
    if others:
        coefficients[others] = -np.linalg.solve(spread[np.ix_(others, others)], spread[others, place])
    coefficients[place] = 1.0
    return coefficients, float(coefficients @ spread @ coefficients)


def _chance_to_see(case: Case, true_heads: int, book: ShopBook) -> float:
    """Probability that some test exceeds its limit when the heads are really so many."""
    mean, spread = predicted_as_meant(case, case.heads)
    true_mean, true_spread = predicted_as_meant(case, true_heads)
    chances = []
    for name in predictable(case):
        coefficients, variance = contrast(case.fields.index(name), spread)
        shift = float(coefficients @ (true_mean - mean)) / math.sqrt(variance)
        limit = limit_of(name, book)
        limit += moving_in_steps_mm(name, case, coefficients, (mean, spread), limit) / math.sqrt(variance)
        chances.append(beyond(limit, shift, math.sqrt(float(coefficients @ true_spread @ coefficients) / variance)))
    return max(chances)
