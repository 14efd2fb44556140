from dataclasses import replace
from decimal import Decimal

import pytest

from helpers_checking import BOOK, changed, computed, one_section, sound_survey, with_sections
from railwright.computing.compute import compute


def stocked(longest_mm):
    """The default shop book with no bar longer than a length."""
    bars = {carrier.item for carrier in BOOK.carriers}
    cut = [replace(line, length_mm=min(line.length_mm, Decimal(longest_mm))) for line in BOOK.stock]
    stock = tuple(short if short.item in bars else line for short, line in zip(cut, BOOK.stock, strict=True))
    return replace(BOOK, stock=stock)


def test_a_carrier_longer_than_every_bar():
    (finding,) = computed(one_section(), "piece_longer_than_stock", stocked(150))
    assert (finding.field, finding.severity) == ("s1_span", "fix")
    assert "the longest to be had is 150.0 mm" in finding.message


def test_a_bar_that_is_long_enough_is_quiet():
    assert computed(one_section(), "piece_longer_than_stock", stocked(180)) == []


@pytest.mark.parametrize("reach_mm", [1300.0, 6000.0])
def test_an_absurd_reach_is_a_piece_too_long_not_a_want_of_gaps(reach_mm):
    """The longest felt of the default shop book is 1200 mm; no gaps between the notes matter then."""
    top = changed(with_sections(sound_survey(), 4), top_reach_mm=reach_mm)
    (finding,) = computed(top, "piece_longer_than_stock")
    assert (finding.field, finding.severity) == ("top_reach", "fix")
    assert "the longest to be had is 1200.0 mm. Measure the reach again" in finding.message
    assert computed(top, "no_station_gap") == []


def test_an_absurd_span_is_told_at_the_span():
    wide = changed(with_sections(sound_survey(), 4), s1_span_mm=1500.0, top_reach_mm=None)
    (finding,) = computed(wide, "piece_longer_than_stock")
    assert finding.field == "s1_span"
    assert computed(wide, "no_station_gap") == []


def test_a_dearer_bar_that_is_long_enough_is_taken():
    """With the chosen bar cut down to 150 mm, another one serves; nothing is in the way."""
    first = compute(one_section(), BOOK).sections[0].carrier.item
    cut = [replace(line, length_mm=Decimal(150)) if line.item == first else line for line in BOOK.stock]
    part = compute(one_section(), replace(BOOK, stock=tuple(cut))).sections[0]
    assert part.carrier.item != first
    assert not [conflict for conflict in part.conflicts if conflict.rule == "piece_longer_than_stock"]
