"""Which reading to take next: the one that is expected to settle most of what keeps an instrument in doubt.

Everything that asks for confirmation is a doubt, and every reading that bears on it has a chance of settling it: of
showing that the part fits with its guard, or that it does not. The chance follows from what the reading is expected to
say, given what is known now. A reading's worth is the number of doubts that it is expected to settle.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from railwright.book.model import ShopBook
from railwright.computing.normal import upper_tail
from railwright.computing.readings import reading_u
from railwright.computing.results import Conflict, InstrumentResult
from railwright.computing.sharpening import finer_steps
from railwright.computing.slip_gains import gains_of
from railwright.computing.slips import diagnose
from railwright.survey.fields import field_by_key
from railwright.survey.findings import Finding
from railwright.survey.lengths import spell_length
from railwright.survey.records import SectionSurvey, Survey

#: Doubts that hang on a blank cell alone: filling it settles them.
_BLANKS = frozenset({"end_room_unread", "side_rests_on_default", "notch_rests_on_default"})
#: Doubts whose facts tell how much a reading would do for them.
_RECKONED = _BLANKS | {
    "stack_within_doubt",
    "lift_doubt_beyond_trim",
    "rest_gaps_in_doubt",
    "readings_disagree",
}
#: Kinds of answer that name the order or the instrument as a whole: no tape settles them.
_PAPERWORK = ("text", "date", "choice")
#: What is done at the piano about an answer of each kind; all others are measured.
_VERBS = {"count": "count", "yes_no": "look", "choice": "look", "screws": "look"}
#: A chance below this is not worth a visit to the piano.
_WORTHLESS = 0.02
#: What a finding itself names gives way only to a reading whose chance is better by more than this.
_CLEARLY_BETTER = 0.05
_LITTLE = 1e-5


@dataclass(frozen=True, slots=True)
class Candidate:
    """One reading that may be taken, and its chance (0 to 1) of settling one doubt. ``step_mm`` 0: any step will do."""

    field: str
    step_mm: float
    doubt: str
    section: int | None
    chance: float


@dataclass(frozen=True, slots=True)
class NextReading:
    """A reading to take, the number of doubts that it is expected to settle, and which they are.

    ``sheet`` and ``cell`` say where it is written, empty where the workbook has no such cell.
    """

    field: str
    step_mm: float
    settles: float
    doubts: tuple[str, ...]
    words: str
    sheet: str
    cell: str


def next_readings(
    survey: Survey, result: InstrumentResult, book: ShopBook, findings: Sequence[Finding] = ()
) -> tuple[NextReading, ...]:
    """Rank the readings that would settle an instrument's doubts, the most telling first.

    Of one field the coarsest step is kept that settles as much as any finer one. Among equals those come first whose
    worth was reckoned, then those found first.

    Args:
        survey: the instrument as surveyed.
        result: what was computed from it, with its conflicts.
        book: gives the guard factor and the uncertainties of reading.
        findings: everything found about the instrument; what asks to look at one answer again is settled by doing so.

    Returns:
        The readings; none where nothing is in doubt or nothing that may be read would settle it.
    """
    candidates = [c for conflict in result.all_conflicts() for c in _candidates(conflict, survey, book)]
    candidates += [_second_look(finding.field, finding.rule) for finding in findings if _asks_for_a_look(finding)]
    wanted = {(c.field, c.step_mm) for c in candidates if c.chance >= _WORTHLESS}
    ranked = [_worth(field, step, candidates, survey) for field, step in wanted]
    order = [c.field for c in candidates]
    ranked.sort(key=lambda reading: (-round(reading.settles, 6), -reading.step_mm, order.index(reading.field)))
    first_of_field = {reading.field: reading for reading in reversed(ranked)}
    return tuple(reading for reading in ranked if first_of_field[reading.field] is reading)


def chance_to_decide(margin_mm: float, u_now_mm: float, u_next_mm: float, z_p: float) -> float:
    """Chance that a new reading, judged alone, decides a clearance: at least z_p u', or below nothing.

    Given the present estimate m with standard uncertainty u, the margin that the new reading shows is normal with mean
    m and variance u^2 + u'^2. Undecided is what lies from 0 up to the guard z_p u'.

    Args:
        margin_mm: margin m at the present estimate, mm.
        u_now_mm: its standard uncertainty u, mm.
        u_next_mm: standard uncertainty u' of the new reading, mm.
        z_p: guard factor.

    Returns:
        The chance, 0 to 1.
    """
    sd = math.hypot(u_now_mm, u_next_mm)
    if sd == 0.0:
        return float(not 0.0 <= margin_mm < z_p * u_next_mm)
    undecided = upper_tail((0.0 - margin_mm) / sd) - upper_tail((z_p * u_next_mm - margin_mm) / sd)
    return 1.0 - undecided


def _asks_for_a_look(finding: Finding) -> bool:
    """Tell whether a doubt hangs on one answer that the piano gives, and on nothing that could be reckoned."""
    field = field_by_key().get(finding.field or "")
    of_the_piano = field is not None and (field.scope == "section" or field.kind not in _PAPERWORK)
    return finding.severity == "confirm" and finding.rule not in _RECKONED and of_the_piano


def _second_look(field: str | None, rule: str) -> Candidate:
    assert field is not None
    number, _ = _section_and_name(field)
    return Candidate(field, 0.0, rule, number or None, 1.0)


def _candidates(conflict: Conflict, survey: Survey, book: ShopBook) -> Iterator[Candidate]:
    """Go through the readings that bear on one doubt."""
    if conflict.field is None:
        return
    if conflict.rule in _BLANKS:
        yield Candidate(conflict.field, 0.0, conflict.rule, conflict.section, 1.0)
    elif conflict.rule == "stack_within_doubt":
        yield from _heights(conflict, conflict.field, survey, book)
    elif conflict.rule == "rest_gaps_in_doubt":
        yield from _uneven(conflict, survey)
    elif conflict.rule == "lift_doubt_beyond_trim":
        yield from _lift(conflict, conflict.field, survey, book)
    elif conflict.rule == "readings_disagree":
        yield from _slip(conflict, survey, book)


def _heights(conflict: Conflict, field: str, survey: Survey, book: ShopBook) -> Iterator[Candidate]:
    """A stack within doubt: the same gap read finer, or a gauge block, which passes or does not.

    Where a block was tried already, only a thicker one helps. It passes if the free height, which lies anywhere up to
    the next block that did not pass, holds as much more as the guard is short of.
    """
    z_p, u_set = book.value("z_p"), book.value("u_set")
    free, stack, clearance, guard = (
        float(conflict.facts[key]) for key in ("free_mm", "stack_mm", "clearance_mm", "guard_mm")
    )
    margin, u_now = free - stack - clearance, guard / z_p
    if "_rest_" not in field:
        thicker = 1.0 - (guard - margin) / book.value("gauge_step")
        yield Candidate(field, 0.0, conflict.rule, conflict.section, min(max(thicker, 0.0), 1.0))
        return
    for step in finer_steps(survey.step_of(field), survey.unit):
        chance = chance_to_decide(margin, u_now, reading_u(step, u_set), z_p)
        yield Candidate(field, step, conflict.rule, conflict.section, chance)
    block = chance_to_decide(margin, u_now, book.value("gauge_tol"), z_p)
    yield Candidate(field.replace("_rest_", "_gauge_"), 0.0, conflict.rule, conflict.section, block)


def _lift(conflict: Conflict, field: str, survey: Survey, book: ShopBook) -> Iterator[Candidate]:
    """A lift in doubt beyond the trim is settled by any step whose guard the trim takes up."""
    steps = (survey.step_mm or 0.0, *finer_steps(survey.step_mm or 0.0, survey.unit))
    for step in steps:
        enough = book.value("z_p") * reading_u(step, book.value("u_set")) <= book.value("trim") + 1e-9
        yield Candidate(field, step, conflict.rule, conflict.section, float(enough))


def _uneven(conflict: Conflict, survey: Survey) -> Iterator[Candidate]:
    """Gaps at rest that tilt within their doubt: both to the finest step, or a gauge block where none was tried."""
    for end in ("low", "high"):
        field = f"s{conflict.section}_rest_{end}"
        steps = finer_steps(survey.step_of(field), survey.unit) or (0.0,)
        yield Candidate(field, steps[-1], conflict.rule, conflict.section, 1.0)
        if _is_blank(conflict.section or 0, f"gauge_{end}", survey):
            yield Candidate(f"s{conflict.section}_gauge_{end}", 0.0, conflict.rule, conflict.section, 1.0)


def _slip(conflict: Conflict, survey: Survey, book: ShopBook) -> Iterator[Candidate]:
    """Readings that disagree: each may be taken again; its chance is the share of doubt that it would remove."""
    section = _section(conflict, survey)
    report = diagnose(section, survey, book) if section is not None else None
    if section is None or report is None:
        return
    gains = gains_of(section, survey, book)
    entropy = -math.fsum(share * math.log(share) for share in gains.shares if share > 0)
    keys = {name: name if name == "head_width" else section.key(name) for name in gains.by_field}
    share = {name: min(gain / entropy, 1.0) if entropy > 0 else 0.0 for name, gain in gains.by_field.items()}
    named = next(name for name, key in keys.items() if key == report.field)
    if report.corrected:
        # a slip that has a name is settled by looking at that cell, whatever little doubt is left beside it
        share[named] = 1.0
    for name, chance in share.items():
        clearly = name == named or chance > share[named] + _CLEARLY_BETTER
        settled = chance if clearly else min(chance, share[named] - _LITTLE)  # what the finding names goes first
        yield Candidate(keys[name], 0.0, conflict.rule, conflict.section, settled)
    for (name, step_mm), gain in gains.finer.items():
        chance = min(gain / entropy, 1.0) if entropy > 0 else 0.0
        if chance > max(share.values()) + _CLEARLY_BETTER:
            yield Candidate(keys[name], step_mm, conflict.rule, conflict.section, chance)


def _section(conflict: Conflict, survey: Survey) -> SectionSurvey | None:
    return next((section for section in survey.sections if section.number == conflict.section), None)


def _worth(field: str, step_mm: float, candidates: list[Candidate], survey: Survey) -> NextReading:
    """Add up what one reading settles over all doubts that it bears on."""
    best: dict[tuple[str, int | None], float] = {}
    for c in candidates:
        if c.field == field and (c.step_mm == step_mm or c.step_mm == 0.0):
            best[(c.doubt, c.section)] = max(best.get((c.doubt, c.section), 0.0), c.chance)
    doubts = tuple(sorted({doubt for doubt, _ in best}))
    answer = survey.answers.get(field)
    sheet, cell = (answer.sheet, answer.cell) if answer is not None else ("", "")
    words = _words(field, step_mm, survey, "stack_within_doubt" in doubts)
    return NextReading(field, step_mm, math.fsum(best.values()), doubts, words, sheet, cell)


def _words(field: str, step_mm: float, survey: Survey, tight: bool) -> str:
    """Say what to do at the piano, in one line; a block that passed already says more only if it is thicker."""
    declared, (number, name) = field_by_key()[field], _section_and_name(field)
    where = f", section {number}" if number else ""
    blank = _is_blank(number, name, survey)
    if name.startswith("gauge_"):
        return f"{declared.label}{where}: try{'' if blank else ' a thicker block' if tight else ' again'}."
    finer = f" to {spell_length(step_mm, survey.unit, step_mm)}" if 0.0 < step_mm < survey.step_of(field) else ""
    return f"{declared.label}{where}: {_VERBS.get(declared.kind, 'measure')}{'' if blank else ' again'}{finer}."


def _section_and_name(field: str) -> tuple[int, str]:
    """Split a full key: ``s2_run`` -> 2 and ``run``; an instrument's own field has section 0."""
    if field[0] == "s" and field[1:2].isdigit():
        return int(field[1]), field[3:]
    return 0, field


def _is_blank(number: int, name: str, survey: Survey) -> bool:
    holder = next((section for section in survey.sections if section.number == number), None) if number else survey
    return getattr(holder, name, getattr(holder, f"{name}_mm", None)) is None
