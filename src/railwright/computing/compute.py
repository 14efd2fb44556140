"""Compute one instrument: spacing, slips, then the fit; whatever is in doubt is handed on as a conflict."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from railwright.book.model import ShopBook
from railwright.computing.fit import fit_instrument
from railwright.computing.gap_model import RUN_HEADS
from railwright.computing.kind_weighing import designs_in_words, kind_verdict
from railwright.computing.notes_of_sections import notes_of, top_damped
from railwright.computing.readings import head_width
from railwright.computing.results import (
    Conflict,
    InstrumentResult,
    KindVerdict,
    SectionResult,
    Slip,
    Spacing,
    spelled,
)
from railwright.computing.sensitivity import deciding_turns
from railwright.computing.sharpening import showing_a_miscount
from railwright.computing.slips import SlipReport, diagnose, power_of_count_test
from railwright.computing.spacing import in_a_row, placed, posterior
from railwright.survey.lengths import spell_length
from railwright.survey.records import SectionSurvey, Survey

#: A pitch counts as outside the plausible range only where its own uncertainty does not explain it.
PITCH_DOUBT = 2.0


def compute(survey: Survey, book: ShopBook) -> InstrumentResult:
    """Compute everything that one survey allows.

    Args:
        survey: the instrument; blanks are filled from the shop book where it has a stand-in.
        book: rule values and catalogue.

    Returns:
        Sizes and conflicts; values that cannot be had are ``None``.
    """
    spacings = {section.number: placed(section, survey, book) for section in survey.sections}
    slips = {section.number: diagnose(section, survey, book) for section in survey.sections}
    fitted, alone = fit_instrument(survey, spacings, notes_of(survey), _records(slips), book)
    pairs = zip(fitted.sections, survey.sections, strict=True)
    sections = (_with_readings(_with_kind(r, s, survey, book), s, slips[s.number], survey, book) for r, s in pairs)
    turned = (replace(s, turning=deciding_turns(survey, s, book, o)) for s, o in zip(sections, alone, strict=True))
    return replace(fitted, sections=tuple(turned))


def _with_kind(result: SectionResult, section: SectionSurvey, survey: Survey, book: ShopBook) -> SectionResult:
    return replace(result, kind=kind_verdict(section, survey, book)) if survey.kind else result


def _records(slips: Mapping[int, SlipReport | None]) -> dict[int, Slip | None]:
    return {number: report.slip if report else None for number, report in slips.items()}


def _with_readings(
    result: SectionResult, section: SectionSurvey, report: SlipReport | None, survey: Survey, book: ShopBook
) -> SectionResult:
    found = (
        *_disorder(section, result, survey),
        *_slip(section, report, result, survey, book),
        *_new_design(section, report, result.kind, survey, book),
        *(() if _counted_like_its_kind(section, result.kind) else _weak_test(section, report, survey, book)),
        *_pitch(section, report, result.spacing, book),
    )
    return replace(result, conflicts=(*found, *result.conflicts))


def _disorder(section: SectionSurvey, result: SectionResult, survey: Survey) -> Iterator[Conflict]:
    """Readings that contradict each other so far that the likeliest strings do not stand in a row within the length."""
    spacing = result.spacing
    if spacing is None or section.span_mm is None:
        return
    facts: dict[str, str | int | float] = {
        "dampers": spacing.x_mm.size,
        "span": spelled(section.span_mm),
        "reach": "",
        "measured": "span and run",
    }
    if not in_a_row(spacing.x_mm, section.span_mm):
        yield Conflict("wires_out_of_order", section.number, section.key("span"), facts)
    elif result.carrier is None and _is_top(section, survey) and _ends_on_last_head(spacing, survey.top_reach_mm):
        facts |= {"reach": f", a reach of {spelled(survey.top_reach_mm or 0.0)}", "measured": "span and reach"}
        yield Conflict("wires_out_of_order", section.number, "top_reach", facts)


def _is_top(section: SectionSurvey, survey: Survey) -> bool:
    place = top_damped(survey.sections)
    return place is not None and survey.sections[place].number == section.number


def _ends_on_last_head(spacing: Spacing, reach_mm: float | None) -> bool:
    """Say whether a reach ends between the near edge of the last head and its wire, without room for another string."""
    last = float(spacing.x_mm[-1])
    return reach_mm is not None and last - spacing.head_width_mm <= reach_mm <= last


def _without_its_runs(section: SectionSurvey, result: SectionResult, survey: Survey, book: ShopBook) -> bool:
    """Tell whether the wires were placed by count and span alone, since the runs leave no row of them."""
    every = posterior(section, survey, book)
    if every is None or result.spacing is None or section.span_mm is None:
        return False
    return in_a_row(result.spacing.x_mm, section.span_mm) and not in_a_row(every.x_mm, section.span_mm)


def _slip(
    section: SectionSurvey, report: SlipReport | None, result: SectionResult, survey: Survey, book: ShopBook
) -> Iterator[Conflict]:
    if report is None:
        return
    without_runs = _without_its_runs(section, result, survey, book)
    then = "Meanwhile the wires are placed by count and span alone." if without_runs else report.effect
    words = f"{report.words} {then}".strip()
    facts: dict[str, str | int | float] = {"words": words, "slip": report.name}
    if report.against_kind and result.kind is not None:
        facts |= {"kin": designs_in_words(section, survey, head_width(survey, book).value)}
        facts |= {"percent": f"{min(result.kind.probability, 0.99) * 100:.0f}"}
    rule = "departs_from_kind" if report.against_kind else "readings_disagree"
    yield Conflict(rule, report.section, report.field, facts)


def _new_design(
    section: SectionSurvey, report: SlipReport | None, kind: KindVerdict | None, survey: Survey, book: ShopBook
) -> Iterator[Conflict]:
    """Mention a section that is built unlike all earlier ones of its kind; a slip goes before."""
    if report is not None or kind is None or kind.verdict != "new design":
        return
    facts: dict[str, str | int | float] = {
        "kin": designs_in_words(section, survey, head_width(survey, book).value),
        "percent": f"{min(kind.probability, 0.99) * 100:.0f}",
    }
    name = "span" if section.dampers in kind.dampers else "dampers"
    yield Conflict("built_unlike_kind", section.number, section.key(name), facts)


def _counted_like_its_kind(section: SectionSurvey, kind: KindVerdict | None) -> bool:
    """Tell a count that earlier pianos of the kind bear out: a miscount would not hide."""
    return kind is not None and kind.verdict == "as its kind" and section.dampers in kind.dampers


def _weak_test(section: SectionSurvey, report: SlipReport | None, survey: Survey, book: ShopBook) -> Iterator[Conflict]:
    if report is not None or _unreadable(section, survey):
        return
    power = power_of_count_test(section, survey, book)
    if power is None or power >= book.value("weak_power"):
        return
    facts: dict[str, str | int | float] = {
        "dampers": section.dampers or 0,
        "power_percent": f"{power * 100:.0f}",
        "advice": _advice(section, survey, book),
    }
    name = "run_end" if (section.dampers or 0) > RUN_HEADS else "dampers"
    yield Conflict("section_test_weak", section.number, section.key(name), facts)


def _advice(section: SectionSurvey, survey: Survey, book: ShopBook) -> str:
    """Say what would show a miscount; where nothing on the sheet would, only the count itself is left."""
    found = showing_a_miscount(section, survey, book)
    if found is None:
        return "No other reading of this sheet would show it much better: count the heads twice."
    then, sheet, power = found
    second = "a second seven-space run near the other end" if then.run_end_mm != section.run_end_mm else ""
    step_mm = sheet.step_of(section.key("span"))
    finer = step_mm < survey.step_of(section.key("span")) and spell_length(step_mm, survey.unit, step_mm)
    steps = f"{'all' if second else 'the same'} readings to {finer}" if finer else ""
    what = " and ".join(words for words in (second, steps) if words)
    twice = "" if power >= book.value("weak_power") else " Count the heads twice as well."
    often = f"about {power * 100:.0f} % of the time" if power < 0.995 else "nearly always"
    return f"{what[0].upper()}{what[1:]} would show it {often}.{twice}"


def _unreadable(section: SectionSurvey, survey: Survey) -> bool:
    """Tell whether a reading of the test was written but cannot be read; that is then what to put right first."""
    answers = (survey.answers.get(section.key(name)) for name in ("dampers", "span", "run", "run_end"))
    return any(answer is not None and answer.problem is not None for answer in answers)


def _pitch(
    section: SectionSurvey, report: SlipReport | None, spacing: Spacing | None, book: ShopBook
) -> Iterator[Conflict]:
    """Judge the pitch only where the readings agree; otherwise the slip is the finding."""
    if spacing is None or report is not None:
        return
    low, high = book.value("pitch_low"), book.value("pitch_high")
    doubt = PITCH_DOUBT * spacing.u_pitch_mm
    if not low - doubt <= spacing.pitch_mm <= high + doubt:
        facts = {"pitch": f"{spacing.pitch_mm:.1f}", "low": f"{low:g}", "high": f"{high:g}"}
        yield Conflict("implausible_pitch", section.number, section.key("span"), facts)
