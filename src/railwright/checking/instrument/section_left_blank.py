"""A section between two others is blank."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.fields import fields_of_section
from railwright.survey.records import SectionSurvey, Survey
from railwright.survey.requirements import is_blank

RULE = Rule(
    severity="fix",
    catches="An empty column with filled sections above it.",
    why="Sections are taken from the bass up; a gap in them shifts every note above.",
    do="Fill the section in, or move the ones above it down.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each wholly blank section that has a filled one above it."""
    filled = {s.number for s in survey.sections if _is_filled(survey, s)}
    for section in survey.sections:
        if section.number not in filled and section.number < max(filled, default=0):
            yield Hit(
                section.key("dampers"),
                f"Section {section.number} is blank, but a section above it is filled. "
                "Fill it in, or move the sections above it down.",
            )


def _is_filled(survey: Survey, section: SectionSurvey) -> bool:
    return any(not is_blank(survey.answers.get(f.key)) for f in fields_of_section(section.number))
