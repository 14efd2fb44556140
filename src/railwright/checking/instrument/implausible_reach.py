"""The reach leaves too little or too much for the notes without dampers."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.plausible import implausible
from railwright.checking.words import counted
from railwright.computing.notes_of_sections import notes_of, top_damped
from railwright.computing.readings import head_width
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A reach over the top damped section that leaves the undamped notes closer or wider than strings lie.",
    why="The top segment is cut to the reach, and a string beyond its end sounds.",
    do="Measure the reach again, and count the notes above the last damper.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit when what the reach adds to the span does not suit the undamped notes."""
    place = top_damped(survey.sections)
    if place is None or survey.top_reach_mm is None:
        return
    span, undamped = survey.sections[place].span_mm, notes_of(survey)[place].undamped
    if span is None or undamped is None:
        return
    width = head_width(survey, book).value
    doubt = survey.step_of(survey.sections[place].key("span")) / 2
    low = span - width + undamped * book.value("pitch_low") - doubt
    high = span + undamped * book.value("pitch_high") + doubt
    if span - width <= survey.top_reach_mm:
        covered = f"The reach covers {counted(undamped, 'note')} above the last damper"
        do = f"{covered}: count them and measure the reach again."
        yield from implausible(survey, "top_reach", survey.top_reach_mm, low, high, do)
