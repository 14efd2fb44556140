"""What the papers say of left and right at the saw, against the corners of the carrier itself."""

from __future__ import annotations

import pytest

import hand_made_week as week
from railwright.book.default_catalogue import default_shop_book
from railwright.writing.drawings.segment_case import outline, segment_cases
from railwright.writing.saw_hand import HAND_WORDS, lean_words, strokes, with_strokes

Corners = tuple[tuple[float, float], ...]


def corners_of(theta: float, side: str) -> tuple[str, Corners]:
    """Give the hand and the carrier's corners: front low, front high, rear high, rear low."""
    section = week.section(1, "bass", 1, 20, theta, side=side)
    (case,) = segment_cases(week.survey("a.xlsx", "R"), (section,), default_shop_book())
    return case.carrier.saw_hand, outline(case, case.carrier.width_mm)


@pytest.mark.parametrize("side", ["rear", "front"])
@pytest.mark.parametrize(
    ("theta", "hand", "lean", "edge"), [(78.0, "left", "treble", "keyboard"), (101.0, "right", "bass", "tail")]
)
def test_the_sentence_is_true_of_the_corners(theta: float, hand: str, lean: str, edge: str, side: str) -> None:
    """x runs to the treble, y to the tail, so going away from the reader is growing y."""
    named, (front_low, front_high, rear_high, rear_low) = corners_of(theta, side)
    assert named == hand and front_low[1] < rear_low[1]
    leans = {
        "treble" if rear[0] > front[0] else "bass" for front, rear in ((front_low, rear_low), (front_high, rear_high))
    }
    assert leans == {lean}
    assert ("keyboard" if front_low[0] < rear_low[0] else "tail") == edge
    sentence = next(part for part in HAND_WORDS.split(": ", 1)[1].split("; ") if part.startswith(hand))
    assert f"lean to the {lean}" in sentence and f"long point is on the {edge} edge" in sentence
    assert strokes(hand) in sentence and f"lean to the {lean}" in lean_words(hand)


@pytest.mark.parametrize(("hand", "stroke"), [("left", "/"), ("right", "\\"), ("square", "|")])
def test_a_stroke_leans_as_its_ends_do(hand: str, stroke: str) -> None:
    """A slash rises to the right: away from the reader and to the treble."""
    assert strokes(hand) == f"{stroke} {stroke}"


def test_a_setting_keeps_its_words() -> None:
    assert with_strokes("left 12.0") == "left 12.0  / /"
    assert with_strokes("8 wide") == "8 wide"
