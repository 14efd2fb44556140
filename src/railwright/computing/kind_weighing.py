"""How a section compares with earlier pianos of its kind: built like them, built anew, or read with a slip."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from railwright.book.model import ShopBook
from railwright.computing.normal import chi_square_limit
from railwright.computing.results import Array, KindVerdict
from railwright.computing.slip_accounts import clean_places
from railwright.computing.slip_cases import case_of, designs_of, testable
from railwright.computing.slip_hypotheses import Hypothesis
from railwright.computing.slip_weighing import weigh
from railwright.computing.slip_words import listed_lengths
from railwright.survey.designs import SectionDesign
from railwright.survey.lengths import spell_length
from railwright.survey.records import SectionSurvey, Survey


@dataclass(frozen=True, slots=True)
class Shares:
    """Probabilities: of a known design read without a slip, of a new design read without a slip, of some slip.

    ``misfit`` is the squared distance of the readings from the known design that they fit best, infinite without any.
    """

    as_kind: float
    new_design: float
    slip: float
    misfit: float


def shares_of(accounts: Sequence[Hypothesis], probability: Array, misfit: Array) -> Shares:
    """Add up the probabilities of accounts that have been weighed."""
    clean = clean_places(accounts)
    known = [place for place in clean if accounts[place].design is not None]
    new = [place for place in clean if accounts[place].design is None]
    sums = (float(probability[known].sum()), float(probability[new].sum()))
    least = float(misfit[known].min(initial=math.inf))
    return Shares(*sums, max(1.0 - math.fsum(sums), 0.0), least)


def in_order_by_kind(shares: Shares, disagree: bool, readings: int, book: ShopBook) -> bool:
    """Tell whether earlier pianos of the kind speak for the readings, or at least not against them.

    Args:
        shares: the readings as weighed.
        disagree: whether they disagree among themselves; then they have to fit a known design as closely as readings
            of any piano have to agree.
        readings: how many there are.
        book: gives ``kind_ask`` and ``slip_k``.

    Returns:
        Whether there is nothing to ask.
    """
    ask = book.value("kind_ask")
    if not disagree:
        return shares.slip < ask
    return shares.as_kind >= 1.0 - ask and shares.misfit <= chi_square_limit(book.value("slip_k"), readings)


def kind_verdict(section: SectionSurvey, survey: Survey, book: ShopBook) -> KindVerdict | None:
    """Say how a section compares with earlier pianos of its maker and model.

    Args:
        section: the section's readings.
        survey: gives what is known of its kind, head width, steps and texts.
        book: gives the prior, the weights, and from what probability on a slip is asked about.

    Returns:
        The likeliest verdict with its probability; a slip only from ``kind_ask`` on; ``None`` where nothing is known
        of the section or it cannot be tested.
    """
    designs = designs_of(section, survey)
    if not designs or not testable(section):
        return None
    case, written = case_of(section, survey, book)
    shares = shares_of(*weigh(section, survey, case, written))
    surveys = sum(design.surveys for design in designs)
    counts = tuple(dict.fromkeys(design.dampers for design in designs))
    if shares.slip >= book.value("kind_ask"):
        return KindVerdict("slip", shares.slip, surveys, counts)
    if shares.as_kind >= shares.new_design:
        return KindVerdict("as its kind", shares.as_kind, surveys, counts)
    return KindVerdict("new design", shares.new_design, surveys, counts)


def designs_in_words(section: SectionSurvey, survey: Survey, head_mm: float) -> str:
    """Describe the known designs of a section, the commonest first, in the survey's unit and step.

    Args:
        section: the section.
        survey: gives what is known of its kind, unit and steps.
        head_mm: width of this piano's heads, mm; a span includes one.

    Returns:
        For example ``28 dampers, span about 15 1/8 in, run about 3 7/8 in (5 surveys)``.
    """
    return "; or ".join(_in_words(design, section, survey, head_mm) for design in designs_of(section, survey))


def _in_words(design: SectionDesign, section: SectionSurvey, survey: Survey, head_mm: float) -> str:
    lengths = {
        name: spell_length(
            sum_mm + (head_mm if name == "span" else 0.0), survey.unit, survey.step_of(section.key(name))
        )
        for name, sum_mm in zip(design.fields, design.sums_mm, strict=True)
    }
    return f"{design.dampers} dampers, {listed_lengths(lengths)} ({design.surveys} surveys)"
