"""Which notes of the keyboard each section holds. Bad data gives ``None``, never an exception."""

from __future__ import annotations

from dataclasses import dataclass

from railwright.survey.notes import FIRST_NOTE, LAST_NOTE
from railwright.survey.records import SectionSurvey, Survey


@dataclass(frozen=True, slots=True)
class SectionNotes:
    """The notes of one section: numbers 1 (A0) to 88 (C8), how many there are and how many carry a damper.

    ``first_note`` and ``last_note`` are ``None`` where a count below is missing or the numbers would pass 88.
    """

    section: int
    first_note: int | None
    last_note: int | None
    notes: int | None
    damped: int | None

    @property
    def undamped(self) -> int | None:
        """Notes above the section's last damper, ``None`` where a count is missing."""
        return None if self.notes is None or self.damped is None else self.notes - self.damped


def notes_of(survey: Survey) -> tuple[SectionNotes, ...]:
    """Number the notes of every section from the bass up.

    The first section starts at note 1. A section has as many notes as its notes cell says, else as it has dampers;
    the top damped section takes what remains of 88 after the sections below it and those without dampers above it.

    Args:
        survey: the sections from the bass up; any cell may be blank.

    Returns:
        One record a section, in the same order.
    """
    counts = _note_counts(survey.sections)
    numbered: list[SectionNotes] = []
    next_note: int | None = FIRST_NOTE
    for section, notes in zip(survey.sections, counts, strict=True):
        last = next_note + notes - 1 if next_note is not None and notes is not None else None
        numbered.append(
            SectionNotes(section.number, _first(next_note, notes), _on_keyboard(last, notes), notes, section.dampers)
        )
        next_note = None if last is None else last + 1
    return tuple(numbered)


def top_damped(sections: tuple[SectionSurvey, ...]) -> int | None:
    """Give the place in the list of the top damped section; ``None`` where no section has dampers.

    A section whose count is missing may be damped, so it is taken to be.
    """
    return max((place for place, section in enumerate(sections) if section.dampers != 0), default=None)


def _note_counts(sections: tuple[SectionSurvey, ...]) -> list[int | None]:
    counts = [_own_count(section) for section in sections]
    top = top_damped(sections)
    if top is not None and sections[top].notes is None:
        counts[top] = _remaining(counts[:top] + counts[top + 1 :], sections[top].dampers)
    return counts


def _own_count(section: SectionSurvey) -> int | None:
    """Count a section's notes from its own cells; a section has never fewer notes than dampers."""
    if section.notes is None:
        return section.dampers or None
    return max(section.notes, section.dampers or 0)


def _remaining(others: list[int | None], dampers: int | None) -> int | None:
    """Give the top damped section what the others leave of 88, and never fewer notes than it has dampers."""
    known = [count for count in others if count is not None]
    if len(known) < len(others):
        return None
    return max(LAST_NOTE - sum(known), dampers or 0)


def _first(note: int | None, notes: int | None) -> int | None:
    return note if note is not None and note <= LAST_NOTE and notes != 0 else None


def _on_keyboard(last: int | None, notes: int | None) -> int | None:
    return last if last is not None and last <= LAST_NOTE and notes != 0 else None
