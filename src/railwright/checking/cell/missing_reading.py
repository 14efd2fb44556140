"""A reading that the shop cannot do without is blank."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.blanks import is_skipped
from railwright.survey.records import Answer, SectionSurvey, Survey, section_of
from railwright.survey.requirements import is_blank, is_required

RULE = Rule(
    severity="fix",
    catches="A required field that was left blank.",
    why="The instrument cannot go to the shop without it, and a second visit costs more than a call.",
    do="Fill it in, or ask the technician.",
)

_HEIGHT = "Fill in the clear gauge or the gap at rest at this end."


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit for a blank answer that this instrument needs; a section skipped as a whole has a rule of its own."""
    section = section_of(survey, answer.field.key)
    if not is_blank(answer) or not _is_wanted(answer, survey, section):
        return
    is_height = answer.field.key.partition("_")[2].startswith(("gauge_", "rest_"))
    do = _HEIGHT if is_height else "Fill it in; the shop cannot go on without it."
    because = "" if is_height or not _is_known(answer, section) else f", because {answer.field.required_when}"
    yield Hit(answer.field.key, f"expected an answer{because}; the cell is blank. {do}")


def _is_wanted(answer: Answer, survey: Survey, section: SectionSurvey | None) -> bool:
    if answer.field.scope == "instrument":
        return is_required(survey, answer.field, None)
    return section is not None and not is_skipped(survey, section) and is_required(survey, answer.field, section)


def _is_known(answer: Answer, section: SectionSurvey | None) -> bool:
    """Tell whether the survey itself shows why the field is wanted; without a count it is wanted to be safe."""
    return bool(answer.field.required_when) and section is not None and section.dampers is not None
