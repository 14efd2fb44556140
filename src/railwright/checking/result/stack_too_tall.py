"""The lowest parts that work are too tall for the gap under the strings."""

from __future__ import annotations

from collections.abc import Mapping

from railwright.checking.base import Facts, Rule
from railwright.checking.words import gauge_block, length
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="A segment that, lowered, would be struck by a string on the hardest blow.",
    why="The string would buzz on the rail and the piano could not be played as before.",
    do="Try the gauge blocks again at this end, and read the gap at rest.",
)

MESSAGE = (
    "even the lowest parts that work here ({foot}, {carrier}, {felt}) stand {stack} tall at the "
    "{end} end, but only {free} is free under the hardest blow. They fit if the {kind} is at least {needed}; "
    "{as_read} was read. Try a gauge block of {block}: if the string does not touch it, they fit; if it does, lower "
    "parts are needed in the shop book."
)


def words(facts: Facts, survey: Survey) -> Mapping[str, str]:
    """Spell the reading as it was written, and name a block that would settle it."""
    return {
        "as_read": length(survey, "", float(facts["read_mm"])),
        "block": gauge_block(survey, float(facts["gauge_mm"])),
    }
