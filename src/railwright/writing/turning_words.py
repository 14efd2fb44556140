"""Which readings decide whether a section fits, and how far off each would have to be."""

from __future__ import annotations

from collections.abc import Sequence

from railwright.computing.results import SectionResult, Turn
from railwright.writing.asking import field_words
from railwright.writing.numbers import fixed

_STATES = {"hold": "on hold", "confirm": "to confirm", "release": "released"}


def turning_words(sections: Sequence[SectionResult]) -> tuple[str, ...]:
    """Say for every reading that decides at which difference its section would come out otherwise.

    Args:
        sections: the sections of one instrument.

    Returns:
        One sentence a reading and direction; none where no reading is near to deciding.
    """
    return tuple(_turn(turn) for section in sections for turn in section.turning)


def _turn(turn: Turn) -> str:
    more = "more" if turn.change_mm > 0.0 else "less"
    return (
        f"{field_words(turn.field)}: were it {fixed(abs(turn.change_mm))} mm {more}, the section by itself would be "
        f"{_STATES[turn.after]}, not {_STATES[turn.before]}."
    )
