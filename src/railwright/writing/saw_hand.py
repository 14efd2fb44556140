"""What ``left`` and ``right`` mean at the saw, in one sentence and in two strokes that look like the ends."""

from __future__ import annotations

#: How a piece lies before whoever reads a hand, and where its ends then lean.
HAND_WORDS = (
    "Felt up, keyboard edge towards you, bass end at your left: left = both ends lean to the treble going away from "
    "you ( / / ), the low end's long point is on the keyboard edge; right = both lean to the bass ( \\ \\ ), the low "
    "end's long point is on the tail edge."
)

_LEANS = {"left": "to the treble", "right": "to the bass"}
_STROKES = {"left": "/ /", "right": "\\ \\", "square": "| |"}


def strokes(hand: str) -> str:
    """Show how both ends lean, seen from above with the keyboard edge below; far steeper than they are sawn.

    Args:
        hand: ``left``, ``right`` or ``square``; a saw setting that begins with one of them serves too.

    Returns:
        Two strokes; empty for any other words.
    """
    return _STROKES.get(hand.split(" ")[0], "")


def lean_words(hand: str) -> str:
    """Say how both ends of one piece lie: ``felt up, keyboard edge towards you: both ends lean to the treble ...``.

    Args:
        hand: ``left``, ``right`` or ``square``; a saw setting that begins with one of them serves too.

    Returns:
        Words with the strokes; ``square ends`` for square.
    """
    lean = _LEANS.get(hand.split(" ")[0])
    if lean is None:
        return "square ends"
    return f"felt up, keyboard edge towards you: both ends lean {lean} going away from you ( {strokes(hand)} )"


def with_strokes(setting: str) -> str:
    """Put the strokes beside a saw setting: ``left 12.0  / /``."""
    shown = strokes(setting)
    return f"{setting}  {shown}" if shown else setting
