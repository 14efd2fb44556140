"""Read a survey workbook through its defined names, wherever its cells have been moved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from railwright.reading.parsed import BLANK, Conventions, Parsed
from railwright.reading.sheet import CellValue
from railwright.reading.values import parse_answer, parse_step, parse_unit, step_in_mm
from railwright.reading.workbook import read_workbook
from railwright.reading.workbook_model import Workbook
from railwright.survey.fields import INSTRUMENT_FIELDS, MAX_SECTIONS, Field, field_by_key, fields_of_section
from railwright.survey.records import Answer, SectionSurvey, Survey

#: A workbook with fewer of a survey's names than this is something else that shares a word or two with it.
FEWEST_NAMES = 5


class NotASurvey(Exception):
    """A workbook that opens but is no survey.

    Attributes:
        reason: One plain sentence about what is missing.
        remedy: One plain sentence about what to do.
    """

    def __init__(self, reason: str, remedy: str) -> None:
        """Keep both sentences; each ends with a full stop."""
        super().__init__(f"{reason} {remedy}")
        self.reason = reason
        self.remedy = remedy

    def __reduce__(self) -> tuple[type[NotASurvey], tuple[str, str]]:
        """Travel between worker processes, which exceptions with two arguments otherwise do not."""
        return NotASurvey, (self.reason, self.remedy)


@dataclass(frozen=True, slots=True)
class NameTrouble:
    """A field whose cell cannot be found: its key, and the reason as the end of a sentence."""

    name: str
    reason: str

    @property
    def sentence(self) -> str:
        """Say which answer is lost, and why."""
        return f"The cell for {_called(field_by_key()[self.name])} cannot be found: {self.reason}."


@dataclass(frozen=True, slots=True)
class Located:
    """A field with the address of its cell and the cell's content."""

    field: Field
    sheet: str
    cell: str
    content: CellValue


def read_survey(path: Path, relative: str) -> tuple[Survey, list[NameTrouble]]:
    """Read one survey workbook.

    A section is present where the workbook has at least one of its names. Sections at the treble end in which nothing
    is written are left out, with whatever befell their names; a blank one between filled ones stays. ``answers``
    keeps every cell that was found.

    Args:
        path: The file.
        relative: Its path below the input folder with forward slashes, kept in the record.

    Returns:
        The survey, and the fields whose cells could not be found.

    Raises:
        Unreadable: The file cannot be opened as a workbook.
        NotASurvey: The workbook has none, or hardly any, of the names that mark a survey's answers.
    """
    workbook = read_workbook(path)
    located, troubles = locate(workbook)
    conventions, answers = _answers(located, workbook.system_1904)
    last = max((number for number in _section_numbers(located) if _anything_in(located, number)), default=0)
    step_mm = None if conventions.step_mm is None else float(conventions.step_mm)
    survey = survey_of_answers(relative, step_mm, answers, last)
    return survey, [trouble for trouble in troubles if _section_of(trouble.name) <= last]


def locate(workbook: Workbook) -> tuple[dict[str, Located], list[NameTrouble]]:
    """Find the cell of every field.

    Args:
        workbook: The open workbook.

    Returns:
        The cells by field key in the order of measuring, and the fields that have none: their name is missing, its cell
        was deleted, or another field has the same cell.

    Raises:
        NotASurvey: Hardly any name is one of a survey.
    """
    targets = {name.casefold(): target for name, target in workbook.names.items()}
    if sum(key in targets for key in field_by_key()) < FEWEST_NAMES:
        raise NotASurvey(
            "The workbook opens, but it has no cells marked as answers of a survey.",
            "Copy the readings into a blank survey workbook, or take the file out of the folder.",
        )
    located: dict[str, Located] = {}
    troubles: list[NameTrouble] = []
    taken: dict[tuple[str, str], str] = {}
    for field in _expected_fields(targets):
        target = targets.get(field.key)
        first = taken.setdefault((target.sheet, target.cell), field.key) if target and not target.problem else field.key
        if target is None:
            troubles.append(NameTrouble(field.key, "its name is missing from the workbook"))
        elif target.problem:
            troubles.append(NameTrouble(field.key, target.problem))
        elif first != field.key:
            troubles.append(NameTrouble(field.key, f"its name points at the cell of {_called(field_by_key()[first])}"))
        else:
            content = workbook.cell(target.sheet, target.cell)
            located[field.key] = Located(field, target.sheet, target.cell, content)
    return located, troubles


def _expected_fields(targets: Mapping[str, object]) -> Iterator[Field]:
    """Go through the instrument's fields and those of every section of which the workbook has a name."""
    yield from INSTRUMENT_FIELDS
    for number in range(1, MAX_SECTIONS + 1):
        fields = fields_of_section(number)
        if any(field.key in targets for field in fields):
            yield from fields


def _called(field: Field) -> str:
    number = _section_of(field.key)
    return f"“{field.label}” of section {number}" if number else f"“{field.label}”"


def _section_of(key: str) -> int:
    """Give the section that a full key belongs to, 0 for an instrument's field."""
    return int(key[1]) if field_by_key()[key].scope == "section" else 0


def _section_numbers(located: Mapping[str, Located]) -> set[int]:
    return {_section_of(key) for key in located} - {0}


def _anything_in(located: Mapping[str, Located], number: int) -> bool:
    """Tell whether anything at all is written in a section, readable or not."""
    cells = (located[field.key].content for field in fields_of_section(number) if field.key in located)
    return any(cell.kind != "blank" and (cell.kind != "text" or cell.text.strip()) for cell in cells)


def _answers(located: Mapping[str, Located], system_1904: bool) -> tuple[Conventions, dict[str, Answer]]:
    """Read unit and step first, since every length depends on them, then every answer."""
    days = Conventions(system_1904=system_1904)
    unit = _parsed_early(located, "unit", days).value
    step = _parsed_early(located, "reading_step", days).value
    unit = str(unit) if unit else None
    conventions = Conventions(unit, step_in_mm(str(step), unit) if step else None, system_1904)
    return conventions, {key: _answer(place, conventions) for key, place in located.items()}


def _parsed_early(located: Mapping[str, Located], key: str, days: Conventions) -> Parsed:
    if key not in located:
        return BLANK
    content = located[key].content
    return parse_unit(content) if key == "unit" else parse_step(content, days)


def _answer(place: Located, conventions: Conventions) -> Answer:
    parsed = parse_answer(place.field, place.content, conventions)
    return Answer(
        field=place.field,
        sheet=place.sheet,
        cell=place.cell,
        text=place.content.text,
        value=float(parsed.value) if isinstance(parsed.value, Fraction) else parsed.value,
        problem=parsed.problem,
        hint=parsed.hint,
        step_mm=None if parsed.step_mm is None else float(parsed.step_mm),
    )


def survey_of_answers(relative: str, step_mm: float | None, answers: Mapping[str, Answer], last: int) -> Survey:
    """Put answers into the record that computing works on.

    Args:
        relative: The path below the input folder.
        step_mm: The smallest step read on the whole sheet, mm.
        answers: Answers by full field key.
        last: How many sections there are; answers of any beyond are left out of the sections.

    Returns:
        The survey.
    """
    values: dict[str, Any] = {
        _attribute(field.key, field): answers[field.key].value
        for field in INSTRUMENT_FIELDS
        if field.key in answers and field.key != "reading_step"
    }
    return Survey(
        file=relative,
        step_mm=step_mm,
        sections=tuple(_section(number, answers) for number in range(1, last + 1)),
        steps_mm={key: answer.step_mm for key, answer in answers.items() if answer.step_mm is not None},
        answers=dict(answers),
        **values,
    )


def _section(number: int, answers: Mapping[str, Answer]) -> SectionSurvey:
    values: dict[str, Any] = {
        _attribute(field.key.split("_", 1)[1], field): answers[field.key].value
        for field in fields_of_section(number)
        if field.key in answers
    }
    return SectionSurvey(number=number, **values)


def _attribute(key: str, field: Field) -> str:
    """Name the record's attribute of a field: lengths and angles carry their unit."""
    return key + {"length": "_mm", "angle": "_deg"}.get(field.kind, "")
