"""What earlier surveys of a maker and model tell of a piano: how each section is built, in one design or several.

The earlier pianos are taken one by one, the most usual first. Each joins the known design that it fits, or is weighed
as a later survey would be: it opens a design of its own, or it is left out where a slip explains it better. Several
that were left out and agree with each other are weighed once more, together, as a design.

Not counted are surveys of the same order, which are earlier versions of this one, and of the same serial number, which
are this very piano; a piano surveyed twice counts once, by its newest survey. Pianos with another number of sections
are another design altogether.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from statistics import median
from typing import Literal

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.gap_model import RUN_HEADS, GapPrior, prior_of
from railwright.computing.kin_tally import (
    FIELDS,
    Frame,
    Kin,
    SpreadPrior,
    Tally,
    frame_of,
    kin_in,
    spread_prior_of,
    tally_of,
)
from railwright.computing.readings import head_width, reading_u
from railwright.computing.slip_accounts import clean_places
from railwright.computing.slip_cases import case_of, testable
from railwright.computing.slip_hypotheses import prior_under
from railwright.computing.slip_tests import innovations
from railwright.computing.slip_weighing import weigh
from railwright.survey.designs import KindMemory, SectionDesign, SectionMemory
from railwright.survey.kind import EarlierSection, EarlierSurvey, plain
from railwright.survey.records import SectionSurvey, Survey

#: More earlier pianos of a kind tell no more; the newest are taken.
MOST_KIN = 12
#: Chi-square values that one piano in a hundred exceeds, by the number of readings: within them it has the design.
_USUAL = {1: 6.63, 2: 9.21, 3: 11.34}
_NEXT_TO_NOTHING = 1e-300


def kind_memory(survey: Survey, earlier: Iterable[EarlierSurvey], book: ShopBook) -> KindMemory | None:
    """Gather what earlier surveys tell of the sections of a survey.

    Args:
        survey: the instrument.
        earlier: surveys of the same maker and model, the newest first.
        book: gives the prior, and from how many surveys on they have a say.

    Returns:
        The designs of each section that enough of them agree on; ``None`` where there is no such section.
    """
    kin = kin_of(survey, earlier)
    if len(kin) < book.value("kind_least"):
        return None
    sections = {
        section.number: section_memory([_read(one, place) for one in kin], book)
        for place, section in enumerate(survey.sections)
    }
    known = {number: memory for number, memory in sections.items() if memory.designs}
    return KindMemory(len(kin), known) if known else None


def counts_of_kind(
    earlier: Sequence[EarlierSurvey], order_no: str, serial: str | None, book: ShopBook
) -> tuple[tuple[int, ...], ...]:
    """Say how many dampers earlier pianos of a kind have, by section, before this one is surveyed.

    Args:
        earlier: surveys of the maker and model, the newest first.
        order_no: the order that is to be surveyed.
        serial: its serial number, if that is known.
        book: gives the prior, and from how many surveys on they have a say.

    Returns:
        For each section the counts of its designs, the commonest first, for pianos with the commonest number of
        sections; empty where too few are known.
    """
    if not earlier:
        return ()
    ((sections, _),) = Counter(len(one.sections) for one in earlier).most_common(1)
    places = tuple(SectionSurvey(number=number) for number in range(1, sections + 1))
    memory = kind_memory(Survey(file="", order_no=order_no, serial=serial, sections=places), earlier, book)
    if memory is None:
        return ()
    found = (memory.sections.get(place.number) for place in places)
    return tuple(tuple(dict.fromkeys(each.dampers for each in one.designs)) if one else () for one in found)


def kin_of(survey: Survey, earlier: Iterable[EarlierSurvey]) -> tuple[EarlierSurvey, ...]:
    """Keep the earlier surveys of other pianos with as many sections, each piano once, at most ``MOST_KIN``."""
    seen = {plain(survey.serial)} - {""}
    orders = {plain(survey.order_no)} - {""}
    found: list[EarlierSurvey] = []
    for one in earlier:
        serial, order = plain(one.serial), plain(one.order_no)
        if len(one.sections) != len(survey.sections) or serial in seen or order in orders:
            continue
        seen |= {serial} - {""}
        orders |= {order} - {""}
        found.append(one)
    return tuple(found[:MOST_KIN])


@dataclass(frozen=True, slots=True)
class Reading:
    """One section of one earlier survey, as a survey of its own."""

    section: SectionSurvey
    survey: Survey


def _read(one: EarlierSurvey, place: int) -> Reading:
    return _as_survey(one.sections[place], one.head_width_mm, one.head_width_step_mm)


def _as_survey(one: EarlierSection, head_width_mm: float | None, head_width_step_mm: float) -> Reading:
    section = SectionSurvey(
        number=1,
        register=one.register,
        dampers=one.dampers,
        span_mm=one.span_mm,
        run_mm=one.run_mm,
        run_end_mm=one.run_end_mm,
    )
    steps = {section.key(name): step for name, step in zip(FIELDS, _steps(one), strict=True)}
    steps["head_width"] = head_width_step_mm
    survey = Survey(file="", head_width_mm=head_width_mm, unit=_unit(one), sections=(section,), steps_mm=steps)
    return Reading(section, survey)


def _steps(one: EarlierSection) -> tuple[float, float, float]:
    return one.span_step_mm, one.run_step_mm, one.run_end_step_mm


def _unit(one: EarlierSection) -> Literal["in", "mm"]:
    """Guess the unit by the step: inches have none that is a whole number of half millimetres."""
    return "mm" if math.isclose(one.span_step_mm * 2.0, round(one.span_step_mm * 2.0), abs_tol=1e-9) else "in"


def section_memory(readings: Sequence[Reading], book: ShopBook) -> SectionMemory:
    """Find the designs of one section.

    Args:
        readings: that section of each earlier piano.
        book: gives the prior and the weights.

    Returns:
        The designs that enough pianos share, the commonest first.
    """
    usable = _most_usual_first([one for one in readings if testable(one.section)])
    sorting = _Sorting(book, spread_prior_of(book), prior_of(Survey(file=""), book))
    for one in usable:
        sorting.take(one)
    sorting.look_again()
    tallies = sorted(sorting.tallies, key=lambda tally: -tally.count)
    designs = tuple(tally.design() for tally in tallies if tally.count >= book.value("kind_least"))
    return SectionMemory(designs, len(sorting.left_out))


def _most_usual_first(readings: Sequence[Reading]) -> list[Reading]:
    """Put those of the commonest count first, and of each count those nearest to its middle span."""
    counts = Counter(one.section.dampers for one in readings)
    spans: dict[int | None, list[float]] = {count: [] for count in counts}
    for one in readings:
        spans[one.section.dampers].append(one.section.span_mm or 0.0)

    def usual(one: Reading) -> tuple[float, ...]:
        count = one.section.dampers
        far = abs((one.section.span_mm or 0.0) - median(spans[count]))
        return -counts[count], float(count or 0), far, one.section.span_mm or 0.0, one.section.run_mm or 0.0

    return sorted(readings, key=usual)


@dataclass(frozen=True, slots=True)
class _LeftOut:
    """A piano that a slip explains better than a design of its own, and the logarithm of the likelihood of that."""

    reading: Reading
    log_slip: float


@dataclass(slots=True)
class _Sorting:
    """Earlier pianos while they are sorted into designs; ``firsts`` holds the piano that opened each."""

    book: ShopBook
    spread: SpreadPrior
    prior: GapPrior
    tallies: list[Tally] = field(default_factory=list)
    firsts: list[Reading] = field(default_factory=list)
    left_out: list[_LeftOut] = field(default_factory=list)

    def take(self, one: Reading) -> None:
        """Put one piano where it belongs."""
        kin = self._kin(one)
        near = self._near(one)
        misfits = [tally.misfit(kin[1]) for tally in near]
        if misfits and min(misfits) <= _USUAL[len(kin[1].places)]:
            near[misfits.index(min(misfits))].add(kin[1])
            return
        if not self.tallies and self._agrees(one):
            self._open(tally_of(kin[0], self.spread, [kin[1]]), one)
            return
        design, slip, layout = self._weighed(one)
        if slip >= self.book.value("kind_ask"):
            single = tally_of(kin[0], self.spread, [kin[1]]).log_evidence()
            odds = math.log(max(slip, _NEXT_TO_NOTHING)) - math.log(max(layout, _NEXT_TO_NOTHING))
            self.left_out.append(_LeftOut(one, single + math.log(self.book.value("kind_new_layout")) + odds))
        elif design is None:
            self._open(tally_of(kin[0], self.spread, [kin[1]]), one)
        else:
            self.tallies[design].add(kin[1])

    def _agrees(self, one: Reading) -> bool:
        """Tell whether a piano's own readings agree, which is all there is to know of the first one."""
        tests = innovations(one.section, one.survey, self.book)
        return all(abs(test.z) <= self.book.value("slip_k") for test in tests)

    def look_again(self) -> None:
        """Take those that stand alone or were left out once more, now that the others are known.

        Those that fit a design best go first.
        """
        loners = [first for tally, first in zip(self.tallies, self.firsts, strict=True) if tally.count == 1]
        loners += [one.reading for one in self.left_out]
        kept = [(tally, first) for tally, first in zip(self.tallies, self.firsts, strict=True) if tally.count > 1]
        self.tallies, self.firsts, self.left_out = [tally for tally, _ in kept], [first for _, first in kept], []
        for one in sorted(loners, key=self._misfit):
            self.take(one)
        self._look_at_left_out()

    def _misfit(self, one: Reading) -> float:
        _, kin = self._kin(one)
        return min((tally.misfit(kin) for tally in self._near(one)), default=math.inf)

    def _near(self, one: Reading) -> list[Tally]:
        return [tally for tally in self.tallies if (tally.frame.heads, tally.frame.treble) == _count(one)]

    def _look_at_left_out(self) -> None:
        """Weigh pianos of one count that were left out once more, as one design against as many slips."""
        counts = Counter(_count(one.reading) for one in self.left_out)
        for count in [count for count, often in counts.items() if often > 1]:
            group = [one for one in self.left_out if _count(one.reading) == count]
            pairs = [self._kin(one.reading) for one in group]
            together = tally_of(pairs[0][0], self.spread, [kin for _, kin in pairs])
            as_design = math.log(self.book.value("kind_new_layout")) + together.log_evidence()
            if as_design > math.fsum(one.log_slip for one in group):
                self._open(together, group[0].reading)
                self.left_out = [one for one in self.left_out if one not in group]

    def _open(self, tally: Tally, first: Reading) -> None:
        self.tallies.append(tally)
        self.firsts.append(first)

    def _kin(self, one: Reading) -> tuple[Frame, Kin]:
        heads, treble = _count(one)
        width, found = head_width(one.survey, self.book), {}
        for name in FIELDS:
            value, step = getattr(one.section, f"{name}_mm"), one.survey.step_of(one.section.key(name))
            if value is not None and (name == "span" or heads >= RUN_HEADS):
                found[name] = (value, reading_u(step, self.book.value("u_set")), step)
        frame = frame_of(self.prior, heads, treble)
        return frame, kin_in(frame, found, width.value, width.u)

    def _weighed(self, one: Reading) -> tuple[int | None, float, float]:
        """Give the place of the likeliest design, none for one of its own, and how likely a slip and any layout are."""
        designs = tuple(tally.design() for tally in self.tallies)
        survey = replace(one.survey, kind=KindMemory(len(designs), {1: SectionMemory(designs)}))
        case, written = case_of(one.section, survey, self.book)
        accounts, probability, _ = weigh(one.section, survey, case, written)
        honest = np.zeros(len(accounts), dtype=bool)
        honest[clean_places(accounts)] = True
        by_design: dict[SectionDesign | None, float] = {None: 0.0}
        for place in np.flatnonzero(honest).tolist():
            by_design[accounts[place].design] = by_design.get(accounts[place].design, 0.0) + float(probability[place])
        best = max(by_design, key=lambda design: by_design[design])
        layout = [
            place for place in np.flatnonzero(honest).tolist() if prior_under(case, accounts[place]) == case.prior
        ]
        return (
            designs.index(best) if best else None,
            float(probability[~honest].sum()),
            float(probability[layout].sum()),
        )


def _count(one: Reading) -> tuple[int, bool]:
    return one.section.dampers or 0, one.section.register == "treble"
