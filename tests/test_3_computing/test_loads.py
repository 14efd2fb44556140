"""Strings, notes and forces."""

from __future__ import annotations

import numpy as np
import pytest

from fit_samples import section
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.loads import (
    even_positions,
    press_per_string,
    string_positions,
    strings_by_note,
    strings_of,
)

BOOK = default_shop_book()


def test_singles_then_doubles_then_triples():
    assert strings_by_note(6, 2, 3) == (1, 1, 2, 2, 2, 3)
    assert strings_by_note(3, 5, 5) == (1, 1, 1)
    assert strings_by_note(2, 0, 0) == (3, 3)


@pytest.mark.parametrize(("singles", "doubles", "total"), [((10, 18), (17, 27), 227), ((8, 13), (5, 20), 243)])
def test_published_string_counts(singles, doubles, total):
    """227 strings: A0-F#1 single, G1-B2 double, C3-C8 triple (a technician's tutorial, howtotunepianos.com); 243 on a
    large grand of 8 singles, 5 doubles and 7 wound triples (The Science and Applications of Acoustics, p. 535)."""
    single, double = singles[0], doubles[0]
    assert sum(strings_by_note(88, single, double)) == total


def test_blank_counts_come_from_the_shop_book():
    strings, used = strings_of(section(1, "bass", 26), 26, BOOK)
    assert strings == (1,) * 10 + (2,) * 16
    assert [default.field for default in used] == ["s1_singles", "s1_doubles"]


def test_counts_that_were_taken_are_used():
    strings, used = strings_of(section(1, "bass", 26, singles=8, doubles=12), 26, BOOK)
    assert strings == (1,) * 8 + (2,) * 12 + (3,) * 6
    assert used == ()


@pytest.mark.parametrize(("register", "force"), [("bass", 1.2), ("tenor", 0.9), ("treble", 0.6)])
def test_force_by_register(register, force):
    assert press_per_string(section(1, register, 8), BOOK) == force


def test_undamped_notes_fill_the_reach():
    wires = np.array([5.0, 18.0, 31.0])
    assert string_positions(wires, 0, 99.0) is wires
    assert string_positions(wires, 3, 70.0).tolist() == [5.0, 18.0, 31.0, 44.0, 57.0, 70.0]


def test_section_without_dampers():
    assert even_positions(4, 42.0).tolist() == [0.0, 14.0, 28.0, 42.0]
