"""Cutting plans: small pictures of what is wanted and what the saw gets."""

import os
import random
import subprocess
import sys
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutting_kit import bar, least_money_by_trying, offcut, pieces_of, tiny_case, tiny_shelf
from railwright.shop.cutting.certificate import check
from railwright.shop.cutting.model import Piece, Stock, tenths
from railwright.shop.cutting.solve import plan_bars


@pytest.mark.parametrize(
    ("value", "whole"),
    [("1", 10), ("0.05", 1), ("0.04", 0), (0.15, 2), (0.25, 3), (Decimal("3175.04"), 31750), (7, 70), (1.005, 10)],
)
def test_millimetres_become_tenths_halves_up(value: Decimal | str | float, whole: int) -> None:
    """0.15 mm is a tenth and a half: two tenths, although the binary float lies below 0.15."""
    assert tenths(value) == whole


@pytest.mark.parametrize("value", ["NaN", "Infinity", float("inf")])
def test_a_length_that_is_no_number_is_refused(value: str | float) -> None:
    with pytest.raises(ValueError, match="finite"):
        tenths(value)


@pytest.mark.parametrize(
    ("room", "kerf", "trim", "bars"),
    [
        (300, 0, 0, 1),  # three pieces of 100 use the bar up
        (299, 0, 0, 2),
        (306, 3, 0, 1),  # two cuts between three pieces, none after the last
        (305, 3, 0, 2),
        (311, 3, 5, 1),  # the end trim once
        (310, 3, 5, 2),
    ],
)
def test_kerf_and_trim_one_step_each_side(room: int, kerf: int, trim: int, bars: int) -> None:
    plan = plan_bars("T", pieces_of(100, 100, 100), [bar(room)], kerf, trim)
    assert len(plan.bars) == bars
    assert plan.proven


def test_the_remnant_is_what_the_saw_leaves() -> None:
    plan = plan_bars("T", pieces_of(100, 100), [bar(1000)], 3, 5)
    assert plan.bars[0].remnant == 1000 - 5 - 2 * (100 + 3)


def test_a_last_cut_that_uses_the_bar_up_leaves_nothing() -> None:
    assert plan_bars("T", pieces_of(100, 100), [bar(204)], 3).bars[0].remnant == 0


@pytest.mark.parametrize("length", [1001, 0, -5])
def test_a_piece_that_fits_no_bar_is_handed_back(length: int) -> None:
    plan = plan_bars("T", pieces_of(100, length), [bar(1000)], 3)
    assert [piece.length for piece in plan.unplaced] == [length]
    assert (plan.cents, plan.proven) == (100, True)


def test_a_piece_as_long_as_the_bar_fits() -> None:
    assert plan_bars("T", pieces_of(1000), [bar(1000)], 3).unplaced == ()


@pytest.mark.parametrize("stock", [[], [bar(1000, available=0)], [bar(0)], [bar(-10)]])
def test_without_usable_stock_everything_is_handed_back(stock: list[Stock]) -> None:
    pieces = pieces_of(100, 200)
    plan = plan_bars("T", pieces, stock, 3)
    assert sorted(plan.unplaced, key=lambda piece: piece.label) == pieces
    assert check(plan, pieces, stock) == []


def test_no_pieces_no_bars() -> None:
    plan = plan_bars("T", [], [bar(1000)], 3)
    assert (plan.bars, plan.cents, plan.proven) == ((), 0, True)


def test_stock_that_does_not_suffice_is_used_and_the_rest_handed_back() -> None:
    pieces, stock = pieces_of(600, 600, 600), [bar(1000, available=2)]
    plan = plan_bars("T", pieces, stock, 3)
    assert (len(plan.bars), len(plan.unplaced)) == (2, 1)
    assert check(plan, pieces, stock) == []


@pytest.mark.parametrize(("kerf", "trim"), [(-1, 0), (0, -1)])
def test_a_kerf_below_nothing_is_refused(kerf: int, trim: int) -> None:
    with pytest.raises(ValueError, match="cannot be negative"):
        plan_bars("T", [], [], kerf, trim)


def test_offcuts_are_used_before_a_bar_is_cut() -> None:
    plan = plan_bars("T", pieces_of(400, 400, 400), [bar(2000), offcut(450)], 3)
    assert sorted(bar.stock.offcut for bar in plan.bars) == [False, True]
    assert plan.cents == 100


def test_offcuts_are_never_used_at_the_price_of_another_bar() -> None:
    """One bar holds 500 + 500 only; the offcut that holds either saves nothing, so it still is used."""
    plan = plan_bars("T", pieces_of(500, 500), [bar(1000), offcut(500)], 0)
    assert plan.cents == 100
    assert plan.offcut_length == 500


def test_offcuts_that_hold_everything_cost_nothing() -> None:
    plan = plan_bars("T", pieces_of(400, 300), [bar(2000), offcut(500, "R1"), offcut(500, "R2")], 3)
    assert (plan.cents, plan.proven) == (0, True)


def test_the_price_of_an_offcut_never_counts() -> None:
    shelf = Stock("T", 500, 999, 1, True)
    assert plan_bars("T", pieces_of(400), [bar(2000), shelf], 3).cents == 0


@pytest.mark.parametrize(("short", "long", "cents"), [(60, 100, 60), (60, 59, 59)])
def test_the_cheaper_length_wins(short: int, long: int, cents: int) -> None:
    assert plan_bars("T", pieces_of(500), [bar(600, short), bar(1200, long)], 3).cents == cents


def test_two_prices_are_mixed_where_that_is_cheapest() -> None:
    plan = plan_bars("T", pieces_of(1000, 500, 500, 500), [bar(1000, 60), bar(2000, 100)], 0)
    assert sorted(b.stock.length for b in plan.bars) == [1000, 2000]
    assert (plan.cents, plan.proven) == (160, True)


def test_of_two_bars_on_the_shelf_one_is_left_whole() -> None:
    """Nothing is bought either way; four pieces fit one bar, and so only one is cut."""
    plan = plan_bars("T", pieces_of(*[240] * 4), [bar(1000, 0, available=2), bar(1000)], 3)
    assert [held.stock.from_shelf for held in plan.bars] == [True]
    assert plan.shelf is not None
    assert (plan.cents, plan.shelf_length, plan.shelf.bound) == (0, 1000, 1000)


def test_the_shelf_goes_before_a_purchase_however_much_of_it_that_takes() -> None:
    plan = plan_bars("T", pieces_of(*[400] * 4), [bar(500, 0, available=4), bar(2000, 1)], 0)
    assert (plan.cents, plan.shelf_length) == (0, 2000)


def test_without_whole_bars_on_the_shelf_nothing_is_claimed_of_it() -> None:
    assert plan_bars("T", pieces_of(400), [bar(1000), offcut(300)], 0).shelf is None


def test_trying_everything_finds_the_same_shelf() -> None:
    """40 drawn cases with one length to buy: least money first, then least length of whole bars from the shelf."""
    for seed in range(40):
        pieces, stock, kerf, trim = tiny_shelf(seed)
        plan = plan_bars("T", pieces, stock, kerf, trim)
        assert check(plan, pieces, stock) == [], seed
        priced = [replace(kind, cents=kind.length if kind.from_shelf else kind.cents * 10**6) for kind in stock]
        least = least_money_by_trying(pieces, priced, kerf, trim)
        assert plan.cents * 10**6 + plan.shelf_length == least, seed
        assert plan.shelf is None or plan.shelf.bound == plan.shelf_length, seed


def test_an_offcut_holds_the_longest_piece_that_fits_whatever_the_saw_setting() -> None:
    """Offcuts rank before set-ups: 254 fills an offcut of 402 better than 219, which would save a setting."""
    setups = ["right 2", "left 1", "right 2", "left 1"]
    pieces = pieces_of(670, 219, 254, 225, setups=setups)
    plan = plan_bars("T", pieces, [bar(2000), offcut(402)], 2)
    assert plan.offcut_length == 254


def test_equal_lengths_are_dealt_out_by_saw_setting() -> None:
    setups = ["left 10.0", "right 5.0"] * 4
    plan = plan_bars("T", pieces_of(*[500] * 8, setups=setups), [bar(2000)], 0)
    assert plan.setups == 2


def test_bars_follow_each_other_so_that_the_saw_stays_set() -> None:
    setups = ["a", "b", "b", "c", "a", "c"]
    plan = plan_bars("T", pieces_of(900, 800, 700, 600, 500, 400, setups=setups), [bar(2000)], 0)
    assert plan.setups <= 4


def test_pieces_are_exchanged_to_save_a_setting() -> None:
    """Three bars hold two pieces each in any pairing of 500 and 490; paired by setting each needs one."""
    setups = ["a", "b", "c", "c", "a", "b"]
    plan = plan_bars("T", pieces_of(500, 500, 500, 490, 490, 490, setups=setups), [bar(1000)], 0)
    assert plan.setups == 3


def test_the_rest_stays_in_one_piece() -> None:
    """12 pieces of 300 in two bars of 2000: six on each would leave 200 twice; the bar that may be short is."""
    plan = plan_bars("T", pieces_of(*[300] * 10), [bar(2000)], 0)
    assert plan.longest_remnant == 800


@given(order=st.permutations(range(7)))
@settings(max_examples=10, deadline=None)
def test_the_order_in_which_pieces_are_listed_does_not_matter(order: list[int]) -> None:
    pieces = pieces_of(310, 420, 420, 515, 515, 640, 700, setups=["a", "b", "c", "a", "b", "c", "a"])
    stock = [bar(1000, 60), bar(1600, 90), offcut(700)]
    assert plan_bars("T", [pieces[n] for n in order], stock, 3) == plan_bars("T", pieces, stock, 3)


_PRINT_A_PLAN = """
import random
from railwright.shop.cutting.model import Piece, Stock
from railwright.shop.cutting.solve import plan_bars
rng = random.Random(1)
pieces = [Piece(str(n), rng.randint(1500, 22000), f"left {rng.randint(2, 9)}") for n in range(60)]
stock = [Stock("T", 60000, 4200, None), Stock("T", 36000, 2600, None), Stock("T", 15000, 0, 1, True)]
print(plan_bars("T", pieces, stock, 26, 50))
"""


def test_the_plan_does_not_depend_on_the_run() -> None:
    """Two processes with different seeds of Python's hashes print the same plan, and nothing else."""
    root = Path(__file__).resolve().parents[2]
    prints = []
    for seed in ("1", "2"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(root / "src")}
        done = subprocess.run(
            [sys.executable, "-c", _PRINT_A_PLAN], env=environment, capture_output=True, text=True, check=True
        )
        prints.append(done.stdout)
    assert prints[0] == prints[1]
    assert prints[0].startswith("Plan(item='T'")


def test_many_stock_lengths_priced_by_their_length_are_planned_and_checked() -> None:
    """Prices in proportion to the length make very many choices of bars cost the same."""
    rng = random.Random(8)
    pieces = pieces_of(*(rng.randint(2000, 14000) for _ in range(150)))
    stock = [bar(length, length * 7 // 100) for length in range(24000, 64000, 8000)]
    plan = plan_bars("T", pieces, stock, 26, 50)
    assert check(plan, pieces, stock) == []
    assert plan.cents - plan.bound_cents <= plan.cents / 100


def test_many_different_pieces_are_proven() -> None:
    """Above a few hundred lengths the pieces go by recipe; kerf and trim as at the saw."""
    rng = random.Random(3)
    pieces = pieces_of(*(rng.randint(9000, 31000) for _ in range(400)))
    plan = plan_bars("T", pieces, [bar(60000, 4200)], 26, 50)
    assert check(plan, pieces, [bar(60000, 4200)]) == []
    assert plan.proven


def test_a_small_node_limit_still_gives_a_plan_and_an_honest_bound() -> None:
    pieces = pieces_of(*[1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100] * 6)
    plan = plan_bars("T", pieces, [bar(5600)], 0, node_limit=0)
    assert plan.bound_cents <= plan_bars("T", pieces, [bar(5600)], 0).cents <= plan.cents
    assert check(plan, pieces, [bar(5600)]) == []


@pytest.mark.parametrize("first", range(0, 300, 50))
def test_trying_everything_finds_the_same_money(first: int) -> None:
    """300 drawn cases with several stock lengths, prices, offcuts, limits, kerf and trim."""
    for seed in range(first, first + 50):
        pieces, stock, kerf, trim = tiny_case(seed)
        least = least_money_by_trying(pieces, stock, kerf, trim)
        plan = plan_bars("T", pieces, stock, kerf, trim)
        assert check(plan, pieces, stock) == [], seed
        assert (plan.unplaced != ()) == (least is None), seed
        assert least is None or (plan.cents, plan.proven) == (least, True), seed


LENGTHS = st.lists(st.integers(1, 1200), max_size=25)
STOCK = st.lists(
    st.builds(Stock, st.just("T"), st.integers(0, 1100), st.integers(0, 300), st.none() | st.integers(0, 3)), max_size=3
)
OFFCUTS = st.lists(st.builds(offcut, st.integers(0, 900)), max_size=4)


@settings(max_examples=60, deadline=None)
@given(lengths=LENGTHS, stock=STOCK, shelf=OFFCUTS, kerf=st.integers(0, 40), trim=st.integers(0, 40))
def test_every_plan_passes_the_check(
    lengths: list[int], stock: list[Stock], shelf: list[Stock], kerf: int, trim: int
) -> None:
    pieces = pieces_of(*lengths)
    assert check(plan_bars("T", pieces, stock + shelf, kerf, trim), pieces, stock + shelf) == []


@settings(max_examples=30, deadline=None)
@given(lengths=st.lists(st.integers(20, 700), min_size=1, max_size=20), kerf=st.integers(0, 30))
def test_kerf_is_the_same_as_wider_pieces_and_a_longer_bar(lengths: list[int], kerf: int) -> None:
    """Piece + kerf into bar + kerf: an identity, so both plans cost the same."""
    sawn = plan_bars("T", pieces_of(*lengths), [bar(1000)], kerf)
    knifed = plan_bars("T", pieces_of(*(n + kerf for n in lengths)), [bar(1000 + kerf)], 0)
    assert (sawn.cents, sawn.bound_cents) == (knifed.cents, knifed.bound_cents)


def test_labels_may_repeat() -> None:
    pieces = [Piece("same", 400)] * 5
    plan = plan_bars("T", pieces, [bar(1000)], 3)
    assert check(plan, pieces, [bar(1000)]) == []
