"""Do count, span and run of a section agree; and if not, which slip explains them best.

The disagreement is judged by prediction: each test predicts one reading from all the others and expresses the
difference in standard deviations of the prediction. Naming weighs every account of the readings by its prior weight
and its marginal likelihood under the same linear Gaussian model. Nothing is ever corrected: the answer names what to
look at again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.gap_model import condition
from railwright.computing.kind_weighing import in_order_by_kind, shares_of
from railwright.computing.results import Array, Slip
from railwright.computing.slip_cases import Case, case_of, designs_of, meant_sight
from railwright.computing.slip_gains import Gains, fresh_reading, gains_among
from railwright.computing.slip_hypotheses import Hypothesis, prior_under
from railwright.computing.slip_tests import Innovation, innovation, innovations, power_of_count_test
from railwright.computing.slip_weighing import UNCLEAR, best_of, lookalikes, ranking_of, verdict, weigh
from railwright.computing.slip_words import account_words, effect_words, unclear_words, unexplained_words
from railwright.survey.lengths import spell_length
from railwright.survey.records import SectionSurvey, Survey

__all__ = ["SlipReport", "diagnose", "innovation", "innovations", "power_of_count_test"]

#: A second run is advised where it is expected to remove this share of the doubt more than any reading taken again.
_CLEARLY_MORE = 0.05


@dataclass(frozen=True, slots=True)
class SlipReport:
    """What is known of readings that disagree.

    ``name`` is the slip, or ``unclear``; ``odds`` how much better it explains the readings than the next account.
    ``field`` is the full key of the cell to look at: the slip's own, or where it is unclear the single reading that,
    taken again, is expected to settle most.
    ``corrected`` spells what the cell would hold, empty where unclear. ``ranking`` lists the likeliest accounts with
    their probabilities (an empty name is no slip at all); ``tests`` the tests that were made. ``against_kind`` says
    that the readings agree among themselves, but not with earlier pianos of the maker and model.
    """

    section: int
    name: str
    odds: float
    field: str
    z: float
    words: str
    effect: str
    corrected: str
    ranking: tuple[tuple[str, float], ...]
    tests: tuple[Innovation, ...]
    against_kind: bool = False

    @property
    def slip(self) -> Slip:
        """The same as a result record."""
        return Slip(self.name, self.odds)


def diagnose(section: SectionSurvey, survey: Survey, book: ShopBook) -> SlipReport | None:
    """Say what went wrong in a section whose readings disagree by more than the limit of a test.

    Where earlier pianos of the kind are known, readings that disagree are in order if those pianos read alike; and
    readings that agree are not, if by those pianos a slip is likelier than ``kind_ask``.

    Args:
        section: the section's readings.
        survey: gives head width, reading steps, unit, the texts as written, and what is known of the kind.
        book: gives the prior, the limits ``slip_k`` and ``slip_k_second``, the prior weights and the ``odds`` that a
            name needs.

    Returns:
        The diagnosis; ``None`` where the readings agree or cannot be tested.
    """
    tests = innovations(section, survey, book)
    worst = max(tests, key=lambda test: test.excess, default=None)
    if worst is None:
        return None
    disagree = worst.excess > 1.0
    if not disagree and not designs_of(section, survey):
        return None
    case, written = case_of(section, survey, book)
    hypotheses, probability, misfit = weigh(section, survey, case, written)
    if case.designs and in_order_by_kind(shares_of(hypotheses, probability, misfit), disagree, len(written), book):
        return None
    ranking = ranking_of(hypotheses, probability)
    if not disagree:  # that it is a slip has been settled, by the kind; the question is which
        ranking = tuple((name, share) for name, share in ranking if name)
    name, odds = verdict(ranking, book.value("odds"))
    if name != UNCLEAR and misfit[probability.argmax()] > (2.0 * book.value("slip_k")) ** 2:
        name = UNCLEAR  # what itself misses the readings by twice the limit explains nothing
    if name == UNCLEAR:
        retake, better = _to_take_again(gains_among(case, written, hypotheses, probability), case)
        field = section.key(retake)
        others = [name for name in case.fields if section.key(name) != worst.field]
        if case.runs_over_the_same_spaces and worst.field == section.key("run_end"):
            others = ["run"]
        likeliest = [each for each, _ in ranking[:2]]
        words = unclear_words(worst.field, others, _spelled(worst, survey), (field, better), likeliest)
        effect, corrected = "", ""
        words = words if disagree else unexplained_words((field, better), likeliest)
    else:
        best = best_of(name, hypotheses, probability)
        field = section.key(_field_of(best.names[0]))
        each = tuple(corrected_reading(case, written, best, survey, section, slip) for slip in best.names)
        corrected = each[0]
        alike = lookalikes(best, hypotheses, probability, book.value("odds"))
        words = account_words(best.names, each, case.heads, alike)
        effect = effect_words(best.names, *_displacement(case, written, best))
    return SlipReport(
        section.number, name, odds, field, worst.z, words, effect, corrected, ranking[:5], tests, not disagree
    )


def _to_take_again(gains: Gains, case: Case) -> tuple[str, bool]:
    """Name the most telling reading among those taken, and say whether a second run would tell clearly more."""
    best = gains.best(("dampers", *case.fields))
    entropy = -sum(share * math.log(share) for share in gains.shares if share > 0.0)
    more = gains.by_field.get("run_end", 0.0) - gains.by_field[best]
    return best, "run_end" not in case.fields and more > _CLEARLY_MORE * entropy


def _field_of(slip: str) -> str:
    """Give the field of a slip; the second run's names begin with its field, then the run's."""
    if slip.startswith("count_"):
        return "dampers"
    return next((field for field in ("run_end", "run", "span") if slip.startswith(f"{field}_")), "span")


def corrected_reading(
    case: Case, written: Array, best: Hypothesis, survey: Survey, section: SectionSurvey, slip: str
) -> str:
    """Spell what the cell of one of an account's slips would hold without it, in the survey's unit and step.

    A shift or a wrong unit is undone on the figure itself; a run over more or fewer spaces is predicted from all
    readings together.

    Args:
        case: the section as a problem of naming.
        written: the readings in the order of the case's fields, mm.
        best: the account.
        survey: gives unit and step.
        section: gives the field's key.
        slip: one of the account's slips.

    Returns:
        For example ``3 1/2 in``; for a count the number of heads.
    """
    name = _field_of(slip)
    if name == "dampers":
        return str(best.heads)
    place = case.fields.index(name)
    sight, meant = best.sights[place], meant_sight(case, name, case.u_mm[place], best.heads)
    if sight.gaps == meant.gaps:
        value = float(written[place]) / sight.scale - sight.offset_mm
        value += (meant.heads - sight.heads) * case.prior.head_mm
    else:
        value = fresh_reading(case, written, best, name)
    return spell_length(value, survey.unit, survey.step_of(section.key(name)))


def _displacement(case: Case, written: Array, best: Hypothesis) -> tuple[float, float | None]:
    """How much longer (mm) the section is than its span as written, and how far the worst wire would be misplaced.

    The second is ``None`` where the readings as written leave no row of wires.
    """
    meant = [meant_sight(case, name, u_mm, case.heads) for name, u_mm in zip(case.fields, case.u_mm, strict=True)]
    as_written, _ = condition(meant, written.tolist(), case.prior, case.heads)
    as_found, _ = condition(list(best.sights), written.tolist(), prior_under(case, best), best.heads)
    common = min(case.heads, best.heads) - 1
    wires = np.abs(np.cumsum(as_written[:common]) - np.cumsum(as_found[:common]))
    span_slip = best.sights[case.fields.index("span")] != meant[case.fields.index("span")]
    longer = float(as_found.sum() - written[case.fields.index("span")])
    placed = bool((as_written[:-1] > 0.0).all()) and bool((as_found[:-1] > 0.0).all())
    misplaced = float(wires.max(initial=0.0)) if placed else None
    return longer if span_slip and best.heads == case.heads else 0.0, misplaced


def _spelled(test: Innovation, survey: Survey) -> tuple[str, str, str]:
    """Spell what is written, what was predicted and twice the deviation of that, which is one step at least."""
    step = survey.step_of(test.field)
    lengths = (test.written_mm, test.predicted_mm, max(2.0 * test.sd_mm, step))
    written, predicted_, doubt = (spell_length(length, survey.unit, step) for length in lengths)
    return written, predicted_, doubt
