"""Sections in which nothing is written."""

from __future__ import annotations

from railwright.survey.fields import fields_of_section
from railwright.survey.records import SectionSurvey, Survey
from railwright.survey.requirements import is_blank


def is_skipped(survey: Survey, section: SectionSurvey) -> bool:
    """Tell whether nothing is written in a section although something is in one above it."""
    above = (other for other in survey.sections if other.number > section.number)
    return not _is_filled(survey, section) and any(_is_filled(survey, other) for other in above)


def _is_filled(survey: Survey, section: SectionSurvey) -> bool:
    return any(not is_blank(survey.answers.get(field.key)) for field in fields_of_section(section.number))
