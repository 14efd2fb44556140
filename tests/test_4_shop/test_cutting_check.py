"""The check of cutting plans: a plan or a bound that was tampered with is always found out."""

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cutting_kit import bar, offcut, pieces_of, tiny_case, tiny_shelf
from railwright.shop.cutting.certificate import arrangement_exists, check
from railwright.shop.cutting.model import Certificate, Cover, Plan, ShelfProof
from railwright.shop.cutting.solve import plan_bars

PIECES = pieces_of(1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100)
STOCK = [bar(5600, 300), offcut(1600)]


@pytest.fixture(scope="module")
def plan() -> Plan:
    return plan_bars("T", PIECES, STOCK, 26, 50)


def faults(plan: Plan) -> list[str]:
    return check(plan, PIECES, STOCK)


def test_the_plan_itself_is_sound(plan: Plan) -> None:
    assert faults(plan) == []
    assert plan.proven


def test_a_bound_one_cent_higher_is_rejected(plan: Plan) -> None:
    assert any("bound" in fault for fault in faults(replace(plan, bound_cents=plan.bound_cents + 1)))


def test_a_higher_bound_is_rejected_even_below_the_money(plan: Plan) -> None:
    """A dearer plan with the old weights: every cent above what they show is found out."""
    dear = plan_bars("T", PIECES, [bar(5600, 300)], 26, 50, node_limit=0)
    claimed = replace(dear, bound_cents=dear.cents, certificate=Certificate(), proven=True)
    assert any("not ruled out" in fault for fault in check(claimed, PIECES, [bar(5600, 300)]))


def test_money_that_is_not_that_of_the_bars_is_rejected(plan: Plan) -> None:
    assert any("cost" in fault for fault in faults(replace(plan, cents=plan.cents - 300)))


def test_proven_where_it_is_not_is_rejected(plan: Plan) -> None:
    assert any("proven" in fault for fault in faults(replace(plan, bound_cents=plan.bound_cents - 1)))
    assert any("proven" in fault for fault in faults(replace(plan, proven=False)))


def test_a_missing_bar_is_rejected(plan: Plan) -> None:
    assert any("wanted 1 times" in fault for fault in faults(replace(plan, bars=plan.bars[1:])))


def test_a_wrong_remnant_is_rejected(plan: Plan) -> None:
    first = replace(plan.bars[0], remnant=plan.bars[0].remnant + 1)
    assert any("remnant" in fault for fault in faults(replace(plan, bars=(first, *plan.bars[1:]))))


def test_a_bar_too_full_is_rejected(plan: Plan) -> None:
    first = replace(plan.bars[0], stock=bar(sum(piece.length for piece in plan.bars[0].pieces), 300))
    assert any("longer than the bar" in fault for fault in faults(replace(plan, bars=(first, *plan.bars[1:]))))


def test_stock_that_is_not_to_be_had_is_rejected(plan: Plan) -> None:
    twice = replace(plan, bars=plan.bars * 2)
    assert any("fewer are to be had" in fault for fault in faults(twice))
    assert any("not on the list" in fault for fault in check(plan, PIECES, [offcut(1600)]))


def test_negative_weights_are_rejected(plan: Plan) -> None:
    weights = tuple((piece.length, -1) for piece in PIECES)
    proof = Certificate((*plan.certificate.covers, Cover(weights)))
    assert any("negative" in fault for fault in faults(replace(plan, certificate=proof)))


def test_a_search_that_is_too_short_proves_nothing() -> None:
    assert arrangement_exists([5, 4, 3], [8, 4], 1000) is True
    assert arrangement_exists([5, 4, 3], [7, 5], 1000) is True
    assert arrangement_exists([5, 5, 3], [8, 4], 1000) is False
    assert arrangement_exists([5, 4, 3], [8, 4], 2) is None


@settings(max_examples=80, deadline=None)
@given(seed=st.integers(0, 300), more=st.integers(1, 400))
def test_no_raised_bound_gets_through(seed: int, more: int) -> None:
    """Tiny cases are all solved to the end, so any higher bound is false, whatever the certificate says."""
    pieces, stock, kerf, trim = tiny_case(seed)
    plan = plan_bars("T", pieces, stock, kerf, trim)
    raised = replace(plan, bound_cents=plan.bound_cents + more)
    assert check(raised, pieces, stock) != []
    forged = replace(raised, proven=True, cents=raised.bound_cents)
    assert check(forged, pieces, stock) != []


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 300), more=st.integers(1, 50))
def test_no_raised_bound_of_the_shelf_gets_through(seed: int, more: int) -> None:
    pieces, stock, kerf, trim = tiny_shelf(seed)
    plan = plan_bars("T", pieces, stock, kerf, trim)
    assume(plan.shelf is not None)
    assert plan.shelf is not None
    raised = replace(plan, shelf=replace(plan.shelf, bound=plan.shelf.bound + more))
    assert any("shelf" in fault for fault in check(raised, pieces, stock))


@pytest.mark.parametrize("steps", [0, 1])
def test_a_bound_of_the_shelf_needs_its_weights(steps: int) -> None:
    pieces, stock = pieces_of(*[600] * 5), [bar(1000, 0, 9), bar(1000)]
    plan = plan_bars("T", pieces, stock, 3)
    assert plan.shelf is not None
    assert (plan.shelf.bound, check(plan, pieces, stock)) == (5000, [])
    bare = replace(plan, shelf=ShelfProof(plan.shelf.bound, Certificate((Cover(((600, 0),)),), steps)))
    assert any("not ruled out" in fault for fault in check(bare, pieces, stock))


@settings(max_examples=80, deadline=None)
@given(seed=st.integers(0, 300), data=st.data())
def test_no_change_of_weights_makes_a_false_bound_true(seed: int, data: st.DataObject) -> None:
    """The money of a plan with one bar too many is never certified, whatever the weights."""
    pieces, stock, kerf, trim = tiny_case(seed)
    plan = plan_bars("T", pieces, stock, kerf, trim)
    dearest = max((kind for kind in stock if not kind.offcut), key=lambda kind: kind.cents)
    assume(not plan.unplaced and dearest.available is None and len(plan.bars) >= 1)
    moved = next((held for held in plan.bars if held.pieces[0].length <= dearest.length - trim), None)
    assume(moved is not None and len(moved.pieces) > 1)
    assert moved is not None
    rest = [piece.length for piece in moved.pieces[1:]]
    left = moved.stock.length - trim - sum(rest) - kerf * len(rest)
    alone = dearest.length - trim - moved.pieces[0].length - kerf
    bars = [held for held in plan.bars if held is not moved]
    bars.append(replace(moved, pieces=moved.pieces[1:], remnant=max(0, left)))
    bars.append(type(moved)(dearest, moved.pieces[:1], max(0, alone)))
    weights = data.draw(st.lists(st.integers(0, 50), min_size=len(pieces), max_size=len(pieces)))
    cover = Cover(tuple(zip(sorted({piece.length for piece in pieces}), weights, strict=False)))
    money = plan.cents + dearest.cents
    worse = replace(
        plan, bars=tuple(bars), cents=money, bound_cents=money, proven=True, certificate=Certificate((cover,), 20_000)
    )
    assert any("bound" in fault or "ruled out" in fault for fault in check(worse, pieces, stock))


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 300), data=st.data())
def test_no_lost_moved_or_doubled_piece_gets_through(seed: int, data: st.DataObject) -> None:
    pieces, stock, kerf, trim = tiny_case(seed)
    plan = plan_bars("T", pieces, stock, kerf, trim)
    assume(plan.bars)
    number = data.draw(st.integers(0, len(plan.bars) - 1))
    held = plan.bars[number]
    change = data.draw(st.sampled_from(["lose", "double", "relabel", "shorten"]))
    first = held.pieces[0]
    swapped = {
        "lose": held.pieces[1:],
        "double": (first, *held.pieces),
        "relabel": (replace(first, label="?"), *held.pieces[1:]),
        "shorten": (replace(first, length=first.length - 1), *held.pieces[1:]),
    }[change]
    bars = (*plan.bars[:number], replace(held, pieces=swapped), *plan.bars[number + 1 :])
    assert check(replace(plan, bars=bars), pieces, stock) != []
