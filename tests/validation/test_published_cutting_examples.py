"""Published cutting examples with known least numbers of bars."""

import pytest

from cutting_kit import bar
from railwright.shop.cutting.certificate import check
from railwright.shop.cutting.model import Piece, Plan
from railwright.shop.cutting.solve import plan_bars


def plan_and_check(room: int, demand: dict[int, int], kerf: int = 0) -> Plan:
    pieces = [Piece(f"{length}-{n}", length) for length, count in demand.items() for n in range(count)]
    stock = [bar(room, 1)]
    plan = plan_bars("rolls", pieces, stock, kerf)
    assert check(plan, pieces, stock) == []
    return plan


#: Paper rolls of 5600 mm: the worked example of the article "Cutting stock problem", Wikipedia (widths and demands
#: there), which states the least number of master rolls, 73, and a waste of 0.401 %.
PAPER = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20,
    2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip

#: Rolls of 100 inches: V. Chvatal, Linear Programming (1983), ch. 13; data as in the model CUTSTOCK of the GAMS
#: library. The linear programme gives 452.25, whole rolls 453 (453 from memory, and found by HiGHS).
ROLLS = {45: 97, 36: 610, 31: 395, 14: 211}


def test_paper_rolls_need_73() -> None:
    plan = plan_and_check(5600, PAPER)
    assert (plan.cents, plan.bound_cents, plan.proven) == (73, 73, True)


def test_paper_rolls_waste_what_the_article_says() -> None:
    used = sum(length * count for length, count in PAPER.items())
    assert used == 407_160
    plan = plan_and_check(5600, PAPER)
    assert round(100 * (1 - used / (5600 * len(plan.bars))), 3) == 0.401


def test_hundred_inch_rolls_need_453() -> None:
    plan = plan_and_check(100, ROLLS)
    assert (plan.cents, plan.bound_cents, plan.proven) == (453, 453, True)


@pytest.mark.parametrize("kerf", [1, 3])
def test_the_same_rolls_with_narrower_pieces_and_a_kerf(kerf: int) -> None:
    """Width + kerf into roll + kerf is the same question."""
    narrow = {length - kerf: count for length, count in ROLLS.items()}
    assert plan_and_check(100 - kerf, narrow, kerf).cents == 453


def test_the_widest_first_alone_needs_more() -> None:
    """First fit by falling width needs 82 rolls for the paper: a heuristic does not pass for the optimum."""
    rolls: list[int] = []
    for width in sorted((length for length, count in PAPER.items() for _ in range(count)), reverse=True):
        place = next((n for n, left in enumerate(rolls) if left >= width), None)
        if place is None:
            rolls.append(5600 - width)
        else:
            rolls[place] -= width
    assert len(rolls) == 82
