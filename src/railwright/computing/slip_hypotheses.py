"""What could have gone wrong at the piano: every slip as a change of the count or of one reading's line of sight."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise, permutations

import numpy as np
from numpy.typing import NDArray

from railwright.computing.gap_model import RUN_HEADS, GapPrior, Sight
from railwright.computing.kind_priors import priors_of
from railwright.computing.readings import reading_u
from railwright.computing.results import Array
from railwright.computing.slip_cases import Case, SlipWeights, fewest_heads, meant_sight
from railwright.survey.designs import SectionDesign
from railwright.survey.lengths import MM_PER_INCH
from railwright.survey.notes import LAST_NOTE

#: Standard steps of a tape in the unit that a reading was written in by mistake, mm.
_FOREIGN_STEP_MM = {"inches": MM_PER_INCH / 8, "mm": 1.0, "cm": 1.0}
_MM = {"inches": MM_PER_INCH, "mm": 1.0, "cm": 10.0}
_NEXT_TO_NOTHING = 1e-300
_COUNT_SLIPS = {0: "", 1: "count_one_low", 2: "count_two_low", -1: "count_one_high", -2: "count_two_high"}


@dataclass(frozen=True, slots=True)
class Variant:
    """One way in which a reading may have come about: as it was meant (no name) or by a slip."""

    name: str
    log_weight: float
    sight: Sight


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One account of all readings of a section. ``names`` is empty where nothing went wrong.

    ``prior`` is what the gaps are before any reading by this account, where earlier pianos of the kind are known.
    """

    names: tuple[str, ...]
    log_weight: float
    heads: int
    sights: tuple[Sight, ...]
    prior: GapPrior | None = None

    @property
    def design(self) -> SectionDesign | None:
        """The known design that the section has by this account; ``None`` for any other, or where none is known."""
        return self.prior.design if self.prior else None

    @property
    def name(self) -> str:
        """One word for the account: slip names joined by ``+``; empty where nothing went wrong."""
        return "+".join(self.names)


@lru_cache(maxsize=64)
def hypotheses_of(case: Case) -> tuple[Hypothesis, ...]:
    """List every account of a section with at most two slips, nothing wrong first.

    Two slips together weigh the product of their odds, times a factor for a second slip; the same wrong unit in every
    reading is one slip.

    Args:
        case: the section.

    Returns:
        The accounts, without those that depend on the figures as written, and whatever is known of its kind.
    """
    return tuple(sorted(_all_hypotheses(case), key=lambda h: (len(h.names), h.heads != case.heads)))


def prior_under(case: Case, account: Hypothesis) -> GapPrior:
    """Give what is known of the gaps before any reading, were an account true."""
    return account.prior or case.prior


def chances_of(case: Case, heads: int) -> list[tuple[GapPrior, float]]:
    """List what a section of so many heads may be, with the logarithm of the probability of each."""
    return [(prior, _log(chance)) for prior, chance in priors_of(case.prior, case.designs, case.changes, heads)]


def under(account: Hypothesis, prior: GapPrior, log_chance: float) -> Hypothesis:
    """Give an account together with what the section is before any reading, of so much probability (logarithm)."""
    return Hypothesis(account.names, account.log_weight + log_chance, account.heads, account.sights, prior)


def _with_designs(case: Case, accounts: Sequence[Hypothesis]) -> Iterator[Hypothesis]:
    """Give each account once for everything that a section of its count may be, where there are known designs."""
    if not case.designs:
        yield from accounts
        return
    for account in accounts:
        for prior, log_chance in chances_of(case, account.heads):
            yield under(account, prior, log_chance)


def _all_hypotheses(case: Case) -> Iterator[Hypothesis]:
    return (family.account(place) for family in families_of(case) for place in range(len(family.ways.names)))


@dataclass(frozen=True, slots=True)
class Family:
    """The accounts of a section of one count: for each reading how it may have come about, and how that combines."""

    heads: int
    variants: tuple[tuple[Variant, ...], ...]
    ways: Ways

    def account(self, place: int) -> Hypothesis:
        """Write one account out."""
        chosen = zip(self.variants, self.ways.places[place].tolist(), strict=True)
        sights = tuple([each[way].sight for each, way in chosen])
        return Hypothesis(self.ways.names[place], float(self.ways.log_weights[place]), self.heads, sights)


def families_of(case: Case) -> list[Family]:
    """List every account of a section by its count, as written out in ``hypotheses_of``."""
    found = []
    for change in _COUNT_SLIPS:
        heads = case.heads + change
        if heads >= fewest_heads(case):
            variants = _all_variants(case, heads)
            names = tuple(tuple((variant.name, variant.log_weight) for variant in each) for each in variants)
            found.append(Family(heads, variants, _combined(case.fields, names, case.weights, change)))
    for heads in _swaps(str(case.heads)):
        if fewest_heads(case) <= heads <= LAST_NOTE:
            found.append(Family(heads, _all_variants(case, heads), _swapped_count(len(case.fields), case.weights)))
    return found


def _all_variants(case: Case, heads: int) -> tuple[tuple[Variant, ...], ...]:
    return tuple(tuple(_variants(case, name, u, heads)) for name, u in zip(case.fields, case.u_mm, strict=True))


@dataclass(frozen=True, slots=True, eq=False)
class Ways:
    """How the readings may have come about, all together.

    ``places``, shape (H, k), says which variant of each reading an account has; ``names`` are its slips, ``clean`` the
    accounts without any.
    """

    places: NDArray[np.intp]
    names: tuple[tuple[str, ...], ...]
    log_weights: Array
    clean: tuple[int, ...]


def _ways(accounts: Sequence[tuple[tuple[int, ...], tuple[str, ...], float]]) -> Ways:
    places, names, log_weights = zip(*accounts, strict=True)
    clean = tuple(place for place, each in enumerate(names) if not each)
    return Ways(np.array(places, dtype=np.intp), names, np.array(log_weights), clean)


@lru_cache(maxsize=64)
def _combined(
    fields: tuple[str, ...], variants: tuple[tuple[tuple[str, float], ...], ...], weights: SlipWeights, change: int
) -> Ways:
    """Combine variants of readings, given by name and log weight, with a change of the count, if any.

    Sections of most counts have the same ones. The same wrong unit in all readings is one slip, not many.
    """
    count_name = _COUNT_SLIPS[change]
    found = []
    for places in _with_few_slips(variants, 2 - bool(count_name)):
        chosen = [each[place] for each, place in zip(variants, places, strict=True)]
        names = tuple(name for name in (count_name, *(name for name, _ in chosen)) if name)
        if not _same_unit(names):
            log_weight = _log_weight(weights, change, [each for _, each in chosen], len(names))
            found.append((places, names, log_weight))
    if len(fields) > 1 and not change:
        for words, _, _ in _wrong_units():
            each = zip(fields, variants, strict=True)
            places = tuple([name for name, _ in some].index(f"{field}_in_{words}") for field, some in each)
            found.append((places, (f"readings_in_{words}",), _log(weights.unit)))
    return _ways(found)


@lru_cache(maxsize=64)
def _swapped_count(readings: int, weights: SlipWeights) -> Ways:
    """Exchange the two figures of the count; each reading is as it was meant, which is its first variant."""
    return _ways([((0,) * readings, ("count_figures_swapped",), _log(weights.digits))])


def _with_few_slips(variants: Sequence[Sequence[tuple[str, float]]], most: int) -> Iterator[tuple[int, ...]]:
    """Choose one variant a reading, with no more slips among them than so many; the last reading's change first."""
    if not variants:
        yield ()
        return
    for place, (name, _) in enumerate(variants[0]):
        left = most - bool(name)
        if left >= 0:
            yield from ((place, *others) for others in _with_few_slips(variants[1:], left))


def _same_unit(names: tuple[str, ...]) -> bool:
    """Tell two readings in the same wrong unit: that is one slip of the whole section, not two."""
    tails = [name.partition("_in_")[2] for name in names]
    return len(tails) == 2 and tails[0] == tails[1] != ""


def _log_weight(weights: SlipWeights, change: int, chosen: Sequence[float], slips: int) -> float:
    """Logarithm of the prior weight of an account: no slip, times the odds of each slip against none.

    A second slip weighs less than that by the factor ``second``, so that one slip is preferred to two.
    """
    count = {0: weights.none, 1: weights.count_one, 2: weights.count_two}[abs(change)]
    product = _log(count) + sum(chosen) - len(chosen) * _log(weights.none)
    return product + (_log(weights.second) if slips > 1 else 0.0)


@lru_cache(maxsize=1024)
def _log(weight: float) -> float:
    """Logarithm of a weight; one of nothing is as good as impossible, yet can be added and taken away."""
    return math.log(max(weight, _NEXT_TO_NOTHING))


def _variants(case: Case, name: str, u_mm: float, heads: int) -> Iterator[Variant]:
    meant = meant_sight(case, name, u_mm, heads)
    yield Variant("", _log(case.weights.none), meant)
    if name == "span":
        yield Variant("span_between_centres", _log(case.weights.span_centres), replace(meant, heads=0.0))
        yield Variant("span_between_inner_edges", _log(case.weights.span_inner), replace(meant, heads=-1.0))
    else:
        yield from _run_variants(case, name, meant, heads)
    for sign in (1, -1):
        inch = sign * MM_PER_INCH
        whole = case.weights.inch_span if name == "span" else case.weights.inch
        yield Variant(f"{name}_inch_misread", _log(whole), replace(meant, offset_mm=inch))
        yield Variant(f"{name}_half_inch_misread", _log(case.weights.half_inch), replace(meant, offset_mm=inch / 2))
    for words, scale, foreign in _wrong_units():
        sight = _in_wrong_unit(meant, scale, foreign, case.u_set_mm)
        yield Variant(f"{name}_in_{words}", _log(case.weights.unit), sight)


def _run_variants(case: Case, name: str, meant: Sight, heads: int) -> Iterator[Variant]:
    weights = case.weights
    if heads > RUN_HEADS:
        eight = replace(meant, gaps=8, first_gap=min(meant.first_gap, heads - 8))
        yield Variant(f"{name}_over_eight_spaces", _log(weights.run_spaces), eight)
    yield Variant(f"{name}_over_six_spaces", _log(weights.run_spaces), replace(meant, gaps=6))
    for heads_more in (1.0, -1.0):
        yield Variant(f"{name}_from_wrong_edge", _log(weights.run_edge), replace(meant, heads=heads_more))


def _wrong_units() -> tuple[tuple[str, float, str], ...]:
    """List wrong units as words, written mm for each true mm, and the unit that was really read.

    Every pair counts on every sheet, because a cell may carry a unit of its own.
    """
    return tuple((f"{wrote}_for_{due}", _MM[due] / _MM[wrote], wrote) for wrote, due in permutations(_MM, 2))


def _in_wrong_unit(meant: Sight, scale: float, foreign: str, u_set_mm: float) -> Sight:
    step_mm = _FOREIGN_STEP_MM[foreign]
    return replace(meant, scale=scale, u_mm=reading_u(step_mm, u_set_mm), step_mm=step_mm if meant.step_mm else 0.0)


def swapped_figures(text: str, written_mm: float, unit: str) -> list[float]:
    """What a reading would have been with two neighbouring figures of its whole part exchanged.

    Args:
        text: the answer as written, for example ``12 1/8`` or ``97 mm``.
        written_mm: how it was understood, mm.
        unit: the sheet's unit, ``in`` or ``mm``; a unit in the text itself goes first.

    Returns:
        The other lengths, mm; none where the whole part has one figure, equal figures, or would begin with 0, or
        where the text does not say what was understood.
    """
    unit_mm = _unit_of(text, unit)
    match = re.match(r"\s*(\d+)(?!\d|\s*[/⁄])", text)
    whole = match.group(1) if match else ""
    if not whole or not 0 <= written_mm - int(whole) * unit_mm < unit_mm * (1 + 1e-9):
        return []
    return [written_mm + (swap - int(whole)) * unit_mm for swap in _swaps(whole)]


def _swaps(figures: str) -> Iterator[int]:
    for i, (left, right) in enumerate(pairwise(figures)):
        swapped = figures[:i] + right + left + figures[i + 2 :]
        if left != right and not swapped.startswith("0"):
            yield int(swapped)


def _unit_of(text: str, unit: str) -> float:
    if "cm" in text:
        return 10.0
    if "mm" in text:
        return 1.0
    return MM_PER_INCH if unit == "in" or re.search(r"in|[\"″”]", text) else 1.0


def swap_hypotheses(case: Case, readings: Mapping[str, tuple[float, str]]) -> tuple[Hypothesis, ...]:
    """List the accounts in which one reading has two neighbouring figures swapped.

    Args:
        case: the section.
        readings: by field name, the written value (mm) and its text.

    Returns:
        The accounts; the weight of a swap is shared among the ways to swap in one reading.
    """
    meant = [meant_sight(case, name, u, case.heads) for name, u in zip(case.fields, case.u_mm, strict=True)]
    found: list[Hypothesis] = []
    for place, name in enumerate(case.fields):
        written_mm, text = readings[name]
        others = swapped_figures(text, written_mm, case.unit)
        for other in others:
            sights = list(meant)
            sights[place] = replace(meant[place], offset_mm=written_mm - other)
            log_weight = _log(case.weights.digits / len(others))
            found.append(Hypothesis((f"{name}_figures_swapped",), log_weight, case.heads, tuple(sights)))
    return tuple(_with_designs(case, found))
