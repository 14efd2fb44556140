"""Making words fit the room that a drawing has for them."""

from __future__ import annotations

#: Width of a letter on the average, in letter heights, for ordinary sans-serif words with some capitals.
LETTER_WIDTH = 0.62


def fitted(words: str, room_mm: float, letters_mm: float, least_mm: float = 1.8) -> tuple[str, float]:
    """Set words in smaller letters where they would be too long, and cut them off only where that is not enough.

    Args:
        words: what is to be read.
        room_mm: how long it may be on paper.
        letters_mm: letter height that is wanted.
        least_mm: letter height below which words are cut off instead, with a mark that says so.

    Returns:
        The words, perhaps shortened, and their letter height.
    """
    if len(words) * LETTER_WIDTH * letters_mm <= room_mm:
        return words, letters_mm
    height = max(least_mm, room_mm / (len(words) * LETTER_WIDTH))
    most = max(1, int(room_mm / (LETTER_WIDTH * height) + 1e-9))
    return (words if len(words) <= most else words[: most - 1].rstrip() + "…"), height
