from dataclasses import replace
from decimal import Decimal

from helpers_checking import BOOK, computed, one_section


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
