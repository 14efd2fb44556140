"""Turns of phrase that several rules share."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit
from railwright.survey.lengths import spell_length
from railwright.survey.records import Answer, Survey


def expected_found(answer: Answer, expected: str, do: str) -> str:
    """Say what the field wants, what stands there, what is known of the cause, and what to do."""
    hint = f" {answer.hint}" if answer.hint else ""
    return f"{answer.field.label}: expected {expected}, found “{answer.text}”.{hint} {do}"


def on_problem(answer: Answer, problem: str, expected: str, do: str) -> Iterator[Hit]:
    """Yield the hit of a cell rule when the reader met its problem."""
    if answer.problem == problem:
        yield Hit(answer.field.key, expected_found(answer, expected, do))


def length(survey: Survey, mm: float, key: str = "") -> str:
    """Spell a length in the survey's own unit and step."""
    return spell_length(mm, survey.unit or "mm", survey.step_of(key) or 0.5)
