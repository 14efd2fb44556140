"""Note numbers and names: note 1 is A0, note 88 is C8 (scientific pitch notation, sharps)."""

from __future__ import annotations

FIRST_NOTE, LAST_NOTE = 1, 88
_NAMES = ("A", "A#", "B", "C", "C#", "D", "D#", "E", "F", "F#", "G", "G#")


def note_name(note: int) -> str:
    """Name a note of the keyboard, for example 1 -> ``A0`` and 40 -> ``C4``.

    The octave number changes between B and C.

    Args:
        note: place on the keyboard, 1 (A0) to 88 (C8).

    Returns:
        The name with sharps.

    Raises:
        ValueError: the note is not on an 88-note keyboard.
    """
    if not FIRST_NOTE <= note <= LAST_NOTE:
        raise ValueError(f"note {note} is outside {FIRST_NOTE}..{LAST_NOTE}")
    return f"{_NAMES[(note - 1) % 12]}{(note + 8) // 12}"


def note_words(note: int) -> str:
    """Name a note, or give its number where a survey counts beyond the keyboard."""
    return note_name(note) if FIRST_NOTE <= note <= LAST_NOTE else f"note {note}"
