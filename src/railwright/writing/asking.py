"""What a technician is asked: the cells to read again, what stands there, and why."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from railwright.survey.fields import field_by_key
from railwright.survey.findings import Finding
from railwright.writing.advice import measure_next_words
from railwright.writing.places import technician_of
from railwright.writing.week import Instrument, Week

_SECTION = re.compile(r"s([1-6])_")


@dataclass(frozen=True, slots=True)
class Question:
    """One cell to look at again. ``required`` says that the survey waits for it."""

    label: str
    place: str
    read: str
    why: str
    required: bool


@dataclass(frozen=True, slots=True)
class Asked:
    """The questions about one survey."""

    instrument: Instrument
    questions: tuple[Question, ...]


def field_words(key: str | None) -> str:
    """Name a field as the survey does, with its section: ``Section 2: Seven-space run``."""
    field = field_by_key().get(key or "")
    if field is None:
        return "The workbook"
    section = _SECTION.match(field.key)
    return f"Section {section.group(1)}: {field.label}" if section else field.label


def place_words(finding: Finding) -> str:
    """Name a finding's cell: ``sheet Survey, cell D14``; empty where it has none."""
    return f"sheet {finding.sheet}, cell {finding.cell}" if finding.cell else ""


def questions_of(instrument: Instrument) -> tuple[Question, ...]:
    """List what is asked about one survey, the gravest first; notes are not asked, nor what no longer matters."""
    if instrument.is_outdated or (instrument.standing and instrument.standing.cancelled):
        return ()
    return tuple(_question(instrument, finding) for finding in instrument.findings if finding.severity != "note")


def _question(instrument: Instrument, finding: Finding) -> Question:
    answer = instrument.survey.answers.get(finding.field or "") if instrument.survey else None
    read = answer.text if answer else ""
    return Question(field_words(finding.field), place_words(finding), read, finding.message, finding.severity == "fix")


def asked_by_technician(week: Week) -> dict[str, tuple[Asked, ...]]:
    """Group all questions of a run by technician, in the order of names and files."""
    asked = [(technician_of(i), Asked(i, questions_of(i))) for i in week.instruments if not i.stray]
    names = sorted({name for name, one in asked if one.questions})
    return {name: tuple(one for owner, one in asked if owner == name and one.questions) for name in names}


def mail_text(technician: str, asked: Sequence[Asked]) -> str:
    """Write a technician's questions as plain text that can be pasted into a mail.

    Args:
        technician: whom to ask.
        asked: the surveys with questions.

    Returns:
        Lines of text, one numbered question after another.
    """
    return "\n".join((f"Questions for {technician}", "", *_mail_lines(asked))) + "\n"


def _mail_lines(asked: Sequence[Asked]) -> Iterator[str]:
    number = 0
    for one in asked:
        yield f"Order {one.instrument.order_no} (file {one.instrument.file})"
        if one.instrument.survey and one.instrument.survey.remarks:
            yield f"You remarked: {' '.join(one.instrument.survey.remarks.split())}"
        if words := measure_next_words(one.instrument):
            yield f"If there is time for one reading only: {words}"
        for question in one.questions:
            number += 1
            where = f" ({question.place})" if question.place else ""
            yield f"{number}. {question.label}{where}"
            if question.read:
                yield f"   written: {question.read}"
            yield f"   {question.why}"
            yield "   read again: ____________"
        yield ""
