"""Run the rules of a scope and give every hit its rule, severity and address."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fnmatch import fnmatchcase
from typing import Protocol

from railwright.book.model import ShopBook
from railwright.checking.base import Entry, Hit, catalogue, rules_of
from railwright.checking.words import about, about_sections, called, listed
from railwright.computing.results import Conflict
from railwright.survey.fields import field_by_key
from railwright.survey.findings import Finding
from railwright.survey.records import Answer, Survey, section_of
from railwright.survey.requirements import is_required

#: So many lost answers are named; more are only counted.
_FEW = 6


class LostCell(Protocol):
    """A field whose cell is gone: its full key, and a sentence that says why."""

    @property
    def name(self) -> str:
        """The full key of the field."""

    @property
    def sentence(self) -> str:
        """Which answer is lost, and why."""


def check_survey(survey: Survey, book: ShopBook) -> list[Finding]:
    """Check one survey: its cells, each section, the instrument as a whole.

    Args:
        survey: the survey as read.
        book: the shop book with the limits of what is plausible.

    Returns:
        Findings in the order of scopes, each with its address.
    """
    findings: list[Finding] = []
    remarkable = [answer for answer in survey.answers.values() if _is_remarkable(answer)]
    for scope in ("cell", "section", "instrument"):
        for entry in rules_of(scope):
            findings += _findings(entry, _hits(entry, survey, remarkable, book), survey)
    return findings


def check_batch(surveys: Sequence[Survey]) -> dict[str, list[Finding]]:
    """Check the surveys of one folder against each other.

    Args:
        surveys: every survey that could be read.

    Returns:
        Findings by file; files without any are absent.
    """
    by_file = {survey.file: survey for survey in surveys}
    found: dict[str, list[Finding]] = {}
    for entry in rules_of("batch"):
        assert entry.check is not None
        for hit in entry.check(surveys):
            survey = by_file[str(hit.file)]
            found.setdefault(survey.file, []).append(_finding(entry, _named(hit), survey))
    return found


def put_into_words(conflicts: Iterable[Conflict], survey: Survey) -> list[Finding]:
    """Turn what computing came upon into findings, by the result rules' sentences.

    Args:
        conflicts: conflicts from computing; ``rule`` names a rule of the result scope.
        survey: the survey they belong to, for the addresses.

    Returns:
        Findings in the order given; conflicts that say the same of several sections, at the same cell, are one.

    Raises:
        KeyError: a conflict names no rule, or its facts lack a word of the rule's sentence.
    """
    sections: dict[tuple[str, str | None, str], list[int]] = {}
    for conflict in conflicts:
        said = sections.setdefault((conflict.rule, conflict.field, _sentence(conflict, survey)), [])
        if conflict.section is not None and conflict.section not in said:
            said.append(conflict.section)
    return [
        _finding(catalogue()[rule], Hit(field, about_sections(numbers, sentence)), survey)
        for (rule, field, sentence), numbers in sections.items()
    ]


def _sentence(conflict: Conflict, survey: Survey) -> str:
    entry = catalogue()[conflict.rule]
    words = entry.words(conflict.facts, survey) if entry.words else {}
    return entry.message.format_map({**conflict.facts, **words})


def without_consequences(findings: Sequence[Finding]) -> list[Finding]:
    """Leave out the findings that another finding of the same survey explains.

    Args:
        findings: everything that was found in one survey.

    Returns:
        The others, in the same order.
    """
    explained = {each.rule: catalogue()[each.rule].rule.explains for each in findings}
    patterns = [pattern for patterns in explained.values() for pattern in patterns]
    return [each for each in findings if not any(fnmatchcase(each.rule, pattern) for pattern in patterns)]


def workbook_finding(rule: str, message: str, field: str | None = None) -> Finding:
    """Make a finding about a file as a whole by a rule of the workbook scope."""
    return Finding(rule, catalogue()[rule].rule.severity, message, field)


def lost_cells(survey: Survey, lost: Sequence[LostCell]) -> list[Finding]:
    """Say which answers have no cell in the workbook any more.

    A reading that this instrument needs is put right; the others are taken as blank, and told together.

    Args:
        survey: the survey as read.
        lost: the fields without a cell; fields of sections that are not in use do not matter.

    Returns:
        One finding a needed reading, and one for all others.
    """
    used = [each for each in lost if _in_use(survey, each.name)]
    needed = [each for each in used if is_required(survey, field_by_key()[each.name], section_of(survey, each.name))]
    findings = [workbook_finding("answer_cell_lost", f"{each.sentence} {_copy_over()}", each.name) for each in needed]
    if optional := [called(each.name) for each in used if each not in needed]:
        more = [f"{len(optional) - _FEW} more"] if len(optional) > _FEW else []
        message = f"The workbook has no cell for {listed([*optional[:_FEW], *more])}; optional, so taken as blank."
        findings.append(workbook_finding("optional_cell_lost", message))
    return findings


def _copy_over() -> str:
    return catalogue()["answer_cell_lost"].rule.do


def _in_use(survey: Survey, key: str) -> bool:
    return field_by_key()[key].scope == "instrument" or section_of(survey, key) is not None


def _hits(entry: Entry, survey: Survey, remarkable: Sequence[Answer], book: ShopBook) -> Iterable[Hit]:
    assert entry.check is not None
    if entry.scope == "cell":
        return (hit for answer in remarkable for hit in entry.check(answer, survey))
    if entry.scope == "section":
        return (hit for section in survey.sections for hit in entry.check(section, survey, book))
    return entry.check(survey, book)


def _is_remarkable(answer: Answer) -> bool:
    """Tell whether any rule can have something to say of a cell alone; most are simply answered."""
    return answer.value is None or answer.problem is not None or bool(answer.hint)


def _findings(entry: Entry, hits: Iterable[Hit], survey: Survey) -> list[Finding]:
    return [_finding(entry, _named(hit), survey) for hit in hits]


def _named(hit: Hit) -> Hit:
    return replace(hit, message=about(hit.key, hit.message))


def _finding(entry: Entry, hit: Hit, survey: Survey) -> Finding:
    answer = survey.answers.get(hit.key) if hit.key else None
    return Finding(
        rule=entry.name,
        severity=hit.severity or entry.rule.severity,
        message=hit.message,
        field=hit.key,
        sheet=answer.sheet if answer else None,
        cell=answer.cell if answer else None,
    )
