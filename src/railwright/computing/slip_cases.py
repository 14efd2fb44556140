"""One section as a problem of naming a slip: what was read and how surely, without the figures that were written."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.gap_model import (
    RUN_HEADS,
    GapPrior,
    Sight,
    predicted,
    prior_of,
    run_sight,
    sights_of,
    span_sight,
)
from railwright.computing.kind_priors import NO_CHANGES, Changes, changes_of
from railwright.computing.results import Array
from railwright.survey.designs import SectionDesign
from railwright.survey.notes import LAST_NOTE
from railwright.survey.records import Register, SectionSurvey, Survey

_NO_PRIOR = GapPrior(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class SlipWeights:
    """Prior weights of the slips, as in the shop book."""

    none: float
    count_one: float
    count_two: float
    run_spaces: float
    run_edge: float
    span_centres: float
    span_inner: float
    inch: float
    inch_span: float
    half_inch: float
    unit: float
    digits: float
    second: float


@dataclass(frozen=True, slots=True)
class Case:
    """One section as a problem of naming: what does not depend on the figures that were written.

    ``fields`` are the readings present, some of ``span``, ``run``, ``run_end``, with uncertainties ``u_mm`` and steps
    ``steps_mm`` (empty: not known) in the same order; ``heads`` is the count as written. ``designs`` are those known of
    the section from earlier pianos of its kind, ``changes`` how likely it is to have none of them.
    """

    prior: GapPrior
    weights: SlipWeights
    heads: int
    register: Register | None
    unit: str
    fields: tuple[str, ...]
    u_mm: tuple[float, ...]
    u_set_mm: float
    steps_mm: tuple[float, ...] = ()
    designs: tuple[SectionDesign, ...] = ()
    changes: Changes = NO_CHANGES

    @property
    def runs_over_the_same_spaces(self) -> bool:
        """Tell whether the second run was taken over the spaces of the first: there are no others in eight heads."""
        return self.heads == RUN_HEADS and {"run", "run_end"} <= set(self.fields)


def plain_case(case: Case) -> Case:
    """Forget what is known of the gaps and the kind: what may have gone wrong does not depend on it."""
    return replace(case, designs=(), changes=NO_CHANGES, prior=_NO_PRIOR)


def weights_of(book: ShopBook) -> SlipWeights:
    """Read the prior weights from the shop book."""
    return SlipWeights(**{name: book.value(f"slip_{name}") for name in SlipWeights.__dataclass_fields__})


def testable(section: SectionSurvey) -> bool:
    """Tell whether a section has a span and a count that a test can go by."""
    return section.dampers is not None and section.span_mm is not None and 2 <= section.dampers <= LAST_NOTE


def case_of(section: SectionSurvey, survey: Survey, book: ShopBook) -> tuple[Case, Array]:
    """Take a section apart into what does not depend on the figures, and the figures in the order of its fields, mm."""
    seen = sights_of(section, survey, book)
    case = Case(
        prior=prior_of(survey, book),
        weights=weights_of(book),
        heads=section.dampers or 0,
        register=section.register,
        unit=survey.unit or "mm",
        fields=tuple(seen),
        u_mm=tuple(sight.u_mm for sight, _ in seen.values()),
        u_set_mm=book.value("u_set"),
        steps_mm=tuple(sight.step_mm for sight, _ in seen.values()),
        designs=designs_of(section, survey),
        changes=changes_of(book),
    )
    return case, np.array([value for _, value in seen.values()])


def designs_of(section: SectionSurvey, survey: Survey) -> tuple[SectionDesign, ...]:
    """List the designs that earlier surveys know of a section; none where there are too few of them."""
    return survey.kind.designs_of(section.number, section.register == "treble") if survey.kind else ()


def fewest_heads(case: Case) -> int:
    """Give the fewest heads that the readings taken allow: eight where a run was taken."""
    return RUN_HEADS if {"run", "run_end"} & set(case.fields) else 2


def meant_sight(case: Case, name: str, u_mm: float, heads: int) -> Sight:
    """See one reading of a section of so many heads as it is meant to be taken."""
    if name == "span":
        return span_sight(heads, u_mm)
    step_mm = dict(zip(case.fields, case.steps_mm, strict=False)).get(name, 0.0)
    return run_sight(heads, case.register, "run" if name == "run" else "run_end", u_mm, step_mm)


@lru_cache(maxsize=256)  # a section is predicted for its test, and again for the chance that the test sees a miscount
def predicted_as_meant(case: Case, heads: int) -> tuple[Array, Array]:
    """Predict a section's readings, mean and covariance (not to be written to), were there so many heads."""
    sights = [meant_sight(case, name, u_mm, heads) for name, u_mm in zip(case.fields, case.u_mm, strict=True)]
    mean, spread = predicted(sights, case.prior, heads)
    for array in (mean, spread):
        array.setflags(write=False)
    return mean, spread
