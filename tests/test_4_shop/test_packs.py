"""Packs: whole numbers and decimals only, minimum orders, price breaks, alternatives."""

from decimal import Decimal
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from railwright.shop.packs import Offer, cheapest_purchase, packs_needed, purchase


@pytest.mark.parametrize(
    ("need", "on_hand", "pack", "packs"),
    [
        (37, 0, 10, 4),
        (40, 0, 10, 4),
        (41, 0, 10, 5),
        (1, 0, 25, 1),
        (0, 0, 10, 0),
        (37, 7, 10, 3),
        (37, 37, 10, 0),
        (37, 36, 10, 1),
        (37, 90, 10, 0),
        (5, -3, 5, 1),
    ],
)
def test_whole_packs_cover_what_the_shelf_lacks(need: int, on_hand: int, pack: int, packs: int) -> None:
    assert packs_needed(need, on_hand, pack) == packs


def test_decimals_divide_exactly_where_binary_floats_do_not() -> None:
    """ceil(2.1 / 0.3) in binary floats is 8: one pack too many."""
    assert ceil(2.1 / 0.3) == 8
    assert packs_needed(Decimal("2.1"), 0, Decimal("0.3")) == 7


def test_floats_are_refused() -> None:
    with pytest.raises(TypeError, match="whole number or a decimal"):
        packs_needed(2.1, 0, 1)  # type: ignore[arg-type]


@pytest.mark.parametrize("pack", [0, -1])
def test_an_empty_pack_is_refused(pack: int) -> None:
    with pytest.raises(ValueError, match="hold something"):
        packs_needed(1, 0, pack)


@given(need=st.integers(0, 10_000), on_hand=st.integers(0, 10_000), pack=st.integers(1, 500))
def test_one_pack_fewer_never_suffices(need: int, on_hand: int, pack: int) -> None:
    packs = packs_needed(need, on_hand, pack)
    assert on_hand + packs * pack >= need
    assert packs == 0 or on_hand + (packs - 1) * pack < need


def test_left_over_is_what_stays_on_the_shelf() -> None:
    bought = purchase(Offer("S", 10, 300), 37, 5)
    assert (bought.packs, bought.cents, bought.buy, bought.left_over) == (4, 1200, 40, 8)


def test_nothing_is_bought_where_the_shelf_suffices_even_with_a_minimum() -> None:
    bought = purchase(Offer("S", 10, 300, min_packs=5), 20, 20)
    assert (bought.packs, bought.cents, bought.left_over) == (0, 0, 0)


@pytest.mark.parametrize(("need", "packs"), [(10, 5), (50, 5), (51, 6)])
def test_the_minimum_order_holds(need: int, packs: int) -> None:
    assert purchase(Offer("S", 10, 300, min_packs=5), need, 0).packs == packs


@pytest.mark.parametrize(
    ("need", "packs", "cents"),
    [(70, 7, 700), (80, 8, 800), (81, 10, 800), (90, 10, 800), (100, 10, 800), (101, 11, 880)],
)
def test_more_packs_are_bought_where_a_break_makes_them_cheaper(need: int, packs: int, cents: int) -> None:
    """From 10 packs on a pack costs 80 in place of 100: 9 packs would cost 900, 10 cost 800; 8 cost 800 too."""
    bought = purchase(Offer("S", 10, 100, breaks=((10, 80),)), need, 0)
    assert (bought.packs, bought.cents) == (packs, cents)


@given(
    need=st.integers(1, 300),
    pack=st.integers(1, 20),
    cents=st.integers(1, 200),
    breaks=st.lists(st.tuples(st.integers(2, 40), st.integers(1, 200)), max_size=3, unique_by=lambda pair: pair[0]),
    least=st.integers(0, 10),
)
def test_no_number_of_packs_is_cheaper(
    need: int, pack: int, cents: int, breaks: list[tuple[int, int]], least: int
) -> None:
    offer = Offer("S", pack, cents, tuple(breaks), least)
    bought = purchase(offer, need, 0)

    def price(packs: int) -> int:
        reached = {at: each for at, each in breaks if at <= packs}
        return packs * (reached[max(reached)] if reached else cents)

    enough = [packs for packs in range(max(1, least), 350) if packs * pack >= need]
    assert bought.cents == min(price(packs) for packs in enough)


def test_the_cheapest_alternative_wins_and_ties_leave_least_over() -> None:
    dear, big, small = Offer("A", 10, 500), Offer("B", 50, 900), Offer("C", 25, 450)
    bought = cheapest_purchase([dear, big, small], 50, 0)
    assert bought is not None
    assert (bought.offer.item, bought.cents) == ("B", 900)
    bought = cheapest_purchase([dear, big, small], 60, 0)
    assert bought is not None
    assert (bought.offer.item, bought.packs, bought.cents) == ("C", 3, 1350)


def test_no_offer_no_purchase() -> None:
    assert cheapest_purchase([], 5, 0) is None
