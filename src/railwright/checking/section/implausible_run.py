"""A seven-space run that nothing can be compared with is too short or too long."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.plausible import implausible
from railwright.survey.records import SectionSurvey, Survey
from railwright.survey.requirements import HEADS_OF_A_RUN

RULE = Rule(
    severity="confirm",
    catches="A run outside what seven plausible spaces give, where count or span is missing.",
    why="It alone would set the spacing of the wires.",
    do="Measure it again, over seven spaces, from edge to like edge.",
)

SPACES_OF_A_RUN = HEADS_OF_A_RUN - 1


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each run out of range; with count and span the three are judged together instead."""
    compared = section.dampers is not None and section.span_mm is not None
    if compared or (section.dampers is not None and section.dampers < HEADS_OF_A_RUN):
        return
    low, high = SPACES_OF_A_RUN * book.value("pitch_low"), SPACES_OF_A_RUN * book.value("pitch_high")
    for name, run in (("run", section.run_mm), ("run_end", section.run_end_mm)):
        do = "Measure it again, over seven spaces, from edge to like edge."
        yield from implausible(survey, section.key(name), run, low, high, do)
