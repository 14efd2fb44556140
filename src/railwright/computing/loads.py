"""What presses on a segment: every note's strings, where they cross and how hard they push."""

from __future__ import annotations

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.readings import doubles, singles
from railwright.computing.results import Array, DefaultUsed
from railwright.survey.records import SectionSurvey


def strings_by_note(notes: int, single: int, double: int) -> tuple[int, ...]:
    """Strings of each note from the bass: singles lowest, then doubles, the rest triples.

    Args:
        notes: notes of the section.
        single: how many of one string.
        double: how many of two strings.

    Returns:
        One, two or three for each note.
    """
    return tuple(1 if i < single else 2 if i < single + double else 3 for i in range(notes))


def strings_of(section: SectionSurvey, notes: int, book: ShopBook) -> tuple[tuple[int, ...], tuple[DefaultUsed, ...]]:
    """Strings of each note of a section, with the counts that nobody took filled from the shop book."""
    single, double = singles(section, notes, book), doubles(section, notes, book)
    used = tuple(count.default for count in (single, double) if count.default is not None)
    return strings_by_note(notes, single.value, double.value), used


def press_per_string(section: SectionSurvey, book: ShopBook) -> float:
    """Force that mutes one string of the section's register, N."""
    return book.value(f"press_{section.register}")


def string_positions(wires_mm: Array, undamped: int, reach_mm: float) -> Array:
    """Where the notes of a section stand along the damper line: at the wires, then evenly to the end of the reach.

    Args:
        wires_mm: positions of the wires, shape (n,), mm.
        undamped: notes above the last damper.
        reach_mm: where the last string stands, mm; not used when every note is damped.

    Returns:
        Positions, shape (n + undamped,), mm.
    """
    if undamped <= 0:
        return wires_mm
    last = float(wires_mm[-1])
    beyond = last + (reach_mm - last) * np.arange(1, undamped + 1) / undamped
    return np.concatenate([wires_mm, beyond])


def even_positions(notes: int, span_mm: float) -> Array:
    """Where the notes of a section without dampers stand: evenly from the first string (0) to the last, mm."""
    return np.linspace(0.0, span_mm, notes)
