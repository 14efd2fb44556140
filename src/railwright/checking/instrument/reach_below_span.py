"""The reach is shorter than the section that it spans."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.words import length
from railwright.computing.notes_of_sections import top_damped
from railwright.computing.readings import head_width
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="A reach over the top damped section shorter than from its first head to its last wire.",
    why="The reach goes on to the last string, so one of the two readings is wrong, and the segment is cut to it.",
    do="Measure the reach again, from the first head's bass-side edge to the last string.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit when the reach ends before the last wire by more than rounding explains."""
    place, reach = top_damped(survey.sections), survey.top_reach_mm
    section = None if place is None else survey.sections[place]
    if section is None or section.span_mm is None or reach is None:
        return
    span_key = section.key("span")
    doubt = survey.step_of("top_reach") / 2 + survey.step_of(span_key) / 2
    if reach < section.span_mm - head_width(survey, book).value - doubt:
        yield Hit(
            "top_reach",
            f"expected at least the span of section {section.number}, {length(survey, span_key, section.span_mm)}, "
            f"found {length(survey, 'top_reach', reach)}. Measure both again.",
        )
