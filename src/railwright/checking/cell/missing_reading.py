"""A reading that the shop cannot do without is blank."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.survey.records import Answer, SectionSurvey, Survey, section_of
from railwright.survey.requirements import is_blank, is_required

RULE = Rule(
    severity="fix",
    catches="A required field that was left blank.",
    why="The instrument cannot go to the shop without it, and a second visit costs more than a call.",
    do="Fill it in, or ask the technician.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit for a blank answer that this instrument needs."""
    section = section_of(survey, answer.field.key)
    if answer.field.scope == "section" and section is None:
        return
    if is_blank(answer) and is_required(survey, answer.field, section):
        yield Hit(answer.field.key, f"{answer.field.label}{_where(section)} is blank. {_alternative(answer)}")


def _where(section: SectionSurvey | None) -> str:
    return f" (section {section.number})" if section else ""


def _alternative(answer: Answer) -> str:
    if "gauge_" in answer.field.key or "rest_" in answer.field.key:
        return "Fill in the clear gauge or the gap at rest at this end."
    return "Fill it in; the shop cannot go on without it."
