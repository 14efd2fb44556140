"""Behind the wires where possible, else in front; one step each side of every limit."""

from __future__ import annotations

import pytest

from railwright.computing.side import SideChoice, SideRoom, choose_side


def side(width: float = 8.0, **more) -> SideChoice:
    given = {"strut": False, "rear_mm": 30.0, "rear_doubt_mm": 0.0, "front_mm": 30.0, "front_doubt_mm": 0.0}
    return choose_side(width, 1.0, SideRoom(**{**given, **more}))


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, "rear"),
        ({"strut": True}, "front"),
        ({"rear_mm": 9.0}, "rear"),
        ({"rear_mm": 8.99}, "front"),
        ({"rear_mm": 8.99, "front_mm": 9.0}, "front"),
        ({"rear_mm": 8.99, "front_mm": 8.99}, None),
        ({"strut": True, "front_mm": 8.99}, None),
        ({"strut": True, "notches_mm": (4.0,), "notch_doubts_mm": (0.0,)}, "front"),
        ({"strut": True, "notches_mm": (4.01,), "notch_doubts_mm": (0.0,)}, None),
        ({"notches_mm": (9.0,), "notch_doubts_mm": (0.0,)}, "rear"),
    ],
)
def test_side(more, expected):
    assert side(**more).side == expected


def test_the_reason_why_not():
    assert side(strut=True, front_mm=5.0).reason == "ledge"
    assert side(strut=True, notches_mm=(5.0,), notch_doubts_mm=(0.0,)).reason == "notch"


@pytest.mark.parametrize(
    ("more", "sure"),
    [
        ({"rear_doubt_mm": 21.0}, True),
        ({"rear_doubt_mm": 21.1}, False),
        ({"strut": True, "front_doubt_mm": 21.0}, True),
        ({"strut": True, "front_doubt_mm": 21.1}, False),
        ({"strut": True, "notches_mm": (3.0,), "notch_doubts_mm": (1.0,)}, True),
        ({"strut": True, "notches_mm": (3.0,), "notch_doubts_mm": (1.1,)}, False),
    ],
)
def test_doubt_of_a_default(more, sure):
    assert side(**more).sure is sure
