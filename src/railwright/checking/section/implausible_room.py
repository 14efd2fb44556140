"""There is more room at the end of a section than pianos have."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.plausible import implausible
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="confirm",
    catches="A room to the plate, or a gap to the next section, beyond the plausible one.",
    why="Where the room is really less, the segment meets the plate.",
    do="Measure from the outer edge of the end head again, and look at the unit.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each room and for the gap that is out of range."""
    rooms = {
        "room_low": section.room_low_mm,
        "room_high": section.room_high_mm,
        "gap_next": section.gap_next_mm,
    }
    do = "Measure from the outer edge of the end head again, and look at the unit."
    for name, room in rooms.items():
        yield from implausible(survey, section.key(name), room, 0.0, book.value("room_high"), do)
