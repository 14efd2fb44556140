"""Felt plans: strips by width, lengths in strips, no kerf, no turning."""

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cutting_kit import least_felt_by_trying, tiny_felt, tiny_felt_shelf
from railwright.shop.cutting.felt import plan_felt
from railwright.shop.cutting.felt_check import check_felt
from railwright.shop.cutting.felt_model import FeltCertificate, FeltPlan, Rect, Sheet


def rects_of(*sizes: tuple[int, int]) -> list[Rect]:
    return [Rect(f"f{n}", length, width) for n, (length, width) in enumerate(sizes)]


def sheet(length: int, width: int, cents: int = 100, available: int | None = None) -> Sheet:
    return Sheet("F", length, width, cents, available)


def shelf(length: int, width: int, rack: str = "R1") -> Sheet:
    return Sheet("F", length, width, 0, 1, True, rack)


def money(sizes: list[tuple[int, int]], sheets: list[Sheet]) -> int:
    plan = plan_felt("F", rects_of(*sizes), sheets)
    assert check_felt(plan, rects_of(*sizes), sheets) == []
    assert plan.proven
    return plan.cents


@pytest.mark.parametrize(("length", "width", "sheets"), [(100, 30, 1), (99, 30, 2), (100, 29, 2)])
def test_the_knife_takes_nothing_one_step_each_side(length: int, width: int, sheets: int) -> None:
    """Three strips of 10 with two pieces of 50 each use a sheet of 100 by 30 up."""
    assert money([(50, 10)] * 6, [sheet(length, width)]) == 100 * sheets


def test_a_piece_is_never_turned() -> None:
    plan = plan_felt("F", rects_of((20, 50)), [sheet(100, 30)])
    assert len(plan.unplaced) == 1


def test_a_narrow_piece_is_not_trimmed_from_a_wide_strip() -> None:
    """The strip of 20 has 50 left, but a piece of width 10 takes a strip of its own: 30 in all."""
    assert money([(50, 20), (50, 10)], [sheet(100, 30)]) == 100
    assert money([(50, 20), (50, 10)], [sheet(100, 29)]) == 200


def test_strips_of_several_widths_share_sheets() -> None:
    """Per width alone one would buy two sheets; together the strips of 20 and 10 fill one."""
    assert money([(100, 20), (100, 10)], [sheet(100, 30)]) == 100


def test_offcuts_come_first() -> None:
    plan = plan_felt("F", rects_of((50, 10), (40, 10)), [sheet(100, 30), shelf(45, 12)])
    assert plan.cents == 100
    assert plan.offcut_area == 400
    assert money([(50, 10), (40, 10)], [sheet(100, 30), shelf(95, 12)]) == 0


def test_the_cheaper_of_two_sheets_is_bought() -> None:
    assert money([(50, 10)], [sheet(100, 30, 90), sheet(60, 30, 70)]) == 70
    assert money([(70, 10)], [sheet(100, 30, 90), sheet(60, 30, 70)]) == 90


@pytest.mark.parametrize("sheets", [[], [sheet(100, 30, 10, 0)], [sheet(0, 30)]])
def test_without_usable_sheets_everything_is_handed_back(sheets: list[Sheet]) -> None:
    plan = plan_felt("F", rects_of((50, 10), (40, 10)), sheets)
    assert len(plan.unplaced) == 2
    assert check_felt(plan, rects_of((50, 10), (40, 10)), sheets) == []


def test_sheets_that_do_not_suffice_are_used_up() -> None:
    plan = plan_felt("F", rects_of(*[(100, 30)] * 3), [sheet(100, 30, 100, 2)])
    assert (len(plan.sheets), len(plan.unplaced)) == (2, 1)


def test_nothing_wanted_nothing_cut() -> None:
    plan = plan_felt("F", [], [sheet(100, 30)])
    assert (plan.sheets, plan.cents, plan.proven) == ((), 0, True)


@pytest.mark.parametrize("first", range(0, 100, 25))
def test_trying_everything_finds_the_same_money(first: int) -> None:
    """100 drawn cases with one to three widths, two sheets of different size, and offcuts."""
    for seed in range(first, first + 25):
        rects, sheets = tiny_felt(seed)
        plan = plan_felt("F", rects, sheets)
        least = least_felt_by_trying(rects, sheets)
        assert check_felt(plan, rects, sheets) == [], seed
        assert (plan.unplaced != ()) == (least is None), seed
        assert least is None or (plan.cents, plan.proven) == (least, True), seed


def test_trying_everything_finds_the_same_shelf() -> None:
    """25 drawn cases: least money first, then least area of whole sheets from the shelf."""
    for seed in range(25):
        rects, sheets = tiny_felt_shelf(seed)
        plan = plan_felt("F", rects, sheets)
        assert check_felt(plan, rects, sheets) == [], seed
        priced = [replace(kind, cents=kind.area if kind.from_shelf else kind.cents * 10**6) for kind in sheets]
        assert plan.cents * 10**6 + plan.shelf_area == least_felt_by_trying(rects, priced), seed
        assert plan.shelf is None or plan.shelf.bound == plan.shelf_area, seed


SIZES = st.lists(st.tuples(st.integers(1, 130), st.sampled_from([8, 10, 12, 40])), max_size=30)


@settings(max_examples=25, deadline=None)
@given(sizes=SIZES, length=st.integers(50, 150), width=st.integers(5, 60), offcut=st.integers(1, 120))
def test_every_plan_passes_the_check(sizes: list[tuple[int, int]], length: int, width: int, offcut: int) -> None:
    rects, sheets = rects_of(*sizes), [sheet(length, width), shelf(offcut, 25)]
    assert check_felt(plan_felt("F", rects, sheets), rects, sheets) == []


RECTS, SHEETS = rects_of((50, 10), (60, 10), (40, 20), (70, 20), (90, 10), (30, 20)), [sheet(100, 30)]


@pytest.fixture(scope="module")
def plan() -> FeltPlan:
    return plan_felt("F", RECTS, SHEETS)


def test_a_tampered_bound_is_rejected(plan: FeltPlan) -> None:
    assert check_felt(plan, RECTS, SHEETS) == []
    assert check_felt(replace(plan, bound_cents=plan.bound_cents + 1), RECTS, SHEETS) != []
    bare = replace(plan, certificate=FeltCertificate())
    assert any("not ruled out" in fault for fault in check_felt(bare, RECTS, SHEETS))


def test_a_tampered_plan_is_rejected(plan: FeltPlan) -> None:
    cut = plan.sheets[0]
    strip = cut.strips[0]
    for wrong in (
        replace(cut, strips=cut.strips[1:]),
        replace(cut, remnant=cut.remnant + 1),
        replace(cut, strips=(replace(strip, width=strip.width + 1), *cut.strips[1:])),
        replace(cut, strips=(replace(strip, remnant=strip.remnant + 1), *cut.strips[1:])),
        replace(cut, sheet=sheet(100, 31)),
    ):
        assert check_felt(replace(plan, sheets=(wrong, *plan.sheets[1:])), RECTS, SHEETS) != []


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 200), more=st.integers(1, 60))
def test_no_raised_bound_gets_through(seed: int, more: int) -> None:
    """Tiny cases are solved to the end, so any higher bound of money or shelf is false."""
    rects, sheets = tiny_felt_shelf(seed)
    plan = plan_felt("F", rects, sheets)
    raised = replace(plan, bound_cents=plan.bound_cents + more)
    assert check_felt(raised, rects, sheets) != []
    assert check_felt(replace(raised, cents=raised.bound_cents, proven=True), rects, sheets) != []
    if plan.shelf is not None:
        high = replace(plan.shelf, bound=plan.shelf.bound + more)
        assert any("shelf" in fault for fault in check_felt(replace(plan, shelf=high), rects, sheets))


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 200), data=st.data())
def test_no_lost_widened_or_doubled_piece_gets_through(seed: int, data: st.DataObject) -> None:
    rects, sheets = tiny_felt_shelf(seed)
    plan = plan_felt("F", rects, sheets)
    assume(plan.sheets)
    number = data.draw(st.integers(0, len(plan.sheets) - 1))
    cut = plan.sheets[number]
    strip = cut.strips[0]
    first = strip.rects[0]
    changed = {
        "lose": strip.rects[1:],
        "double": (first, *strip.rects),
        "widen": (replace(first, width=first.width + 1), *strip.rects[1:]),
        "shorten": (replace(first, length=first.length - 1), *strip.rects[1:]),
    }[data.draw(st.sampled_from(["lose", "double", "widen", "shorten"]))]
    wrong = replace(cut, strips=(replace(strip, rects=changed), *cut.strips[1:]))
    assert check_felt(replace(plan, sheets=(*plan.sheets[:number], wrong, *plan.sheets[number + 1 :])), rects, sheets)
