"""The check of a felt plan and of its bound, apart from everything that made them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from railwright.shop.cutting.certificate import Choices, knapsack_worths
from railwright.shop.cutting.felt_model import FeltCertificate, FeltPlan, Rect, Sheet, SheetCut

Sizes = Counter[tuple[int, int]]
_Pairs = tuple[tuple[int, int], ...]
_State = tuple[int, _Pairs, tuple[int, ...]]


def check_felt(plan: FeltPlan, rects: Sequence[Rect], sheets: Sequence[Sheet]) -> list[str]:
    """Verify a felt plan and its bound.

    Args:
        plan: the plan to verify.
        rects: the pieces that were asked for.
        sheets: the sheets and offcuts that were to be had.

    Returns:
        What is wrong, one sentence each; empty where plan and bound hold.
    """
    return [
        *_check_rects(plan, rects),
        *(fault for number, cut in enumerate(plan.sheets, start=1) for fault in _check_cut(number, cut)),
        *_check_stock(plan, sheets),
        *_check_money(plan),
        *_check_bound(plan, sheets),
        *_check_shelf(plan, sheets),
    ]


def _check_rects(plan: FeltPlan, rects: Sequence[Rect]) -> Iterator[str]:
    """Compare the pieces of the plan, placed or not, with those that were asked for."""
    placed = Counter(rect for cut in plan.sheets for strip in cut.strips for rect in strip.rects)
    wanted, held = Counter(rects), placed + Counter(plan.unplaced)
    for rect in (wanted - held) + (held - wanted):
        yield f"piece {rect.label}: wanted {wanted[rect]} times, in the plan {held[rect]} times"


def _check_cut(number: int, cut: SheetCut) -> Iterator[str]:
    """Measure the strips of one sheet and the pieces of each strip."""
    left = cut.sheet.width - sum(strip.width for strip in cut.strips)
    if left < 0:
        yield f"sheet {number}: its strips are wider than the sheet"
    if left != cut.remnant:
        yield f"sheet {number}: the width left does not add up"
    for strip in cut.strips:
        rest = cut.sheet.length - sum(rect.length for rect in strip.rects)
        if rest < 0:
            yield f"sheet {number}: the pieces of a strip are longer than the sheet"
        if rest != strip.remnant:
            yield f"sheet {number}: the length left of a strip does not add up"
        if any(rect.width != strip.width for rect in strip.rects):
            yield f"sheet {number}: a piece is not as wide as its strip"


def _check_stock(plan: FeltPlan, sheets: Sequence[Sheet]) -> Iterator[str]:
    """Count how many of each sheet are used."""
    for sheet, count in Counter(cut.sheet for cut in plan.sheets).items():
        entries = [other.available for other in sheets if other == sheet]
        if not entries:
            yield f"sheet {sheet.item}, {sheet.length} by {sheet.width}, is not on the list"
        elif count > sum(count if number is None else number for number in entries):
            yield f"sheet {sheet.item}, {sheet.length} by {sheet.width}: {count} used, fewer are to be had"


def _check_money(plan: FeltPlan) -> Iterator[str]:
    """Add up the sheets that are bought and compare with money, bound and claim."""
    cents = sum(0 if cut.sheet.offcut else cut.sheet.cents for cut in plan.sheets)
    if plan.cents != cents:
        yield f"the sheets cost {cents} cents, the plan says {plan.cents}"
    if not 0 <= plan.bound_cents <= cents:
        yield f"the bound of {plan.bound_cents} cents is not between nothing and the money of {cents}"
    if plan.proven != (plan.cents == plan.bound_cents):
        yield "the plan calls itself proven where bound and money differ, or the reverse"


def _check_bound(plan: FeltPlan, sheets: Sequence[Sheet]) -> Iterator[str]:
    """Try every choice of sheets that is cheaper than the bound."""
    prices, available = [sheet.price for sheet in sheets], [sheet.available for sheet in sheets]
    for fault in _check_choices(plan, sheets, plan.certificate, (plan.bound_cents, prices, available)):
        yield f"the bound: {fault}"


def _check_shelf(plan: FeltPlan, sheets: Sequence[Sheet]) -> Iterator[str]:
    """Try every choice of whole sheets from the shelf that is smaller than the bound, beside those that are bought."""
    proof = plan.shelf
    if proof is None:
        return
    if not 0 <= proof.bound <= plan.shelf_area:
        yield f"the bound of {proof.bound} from the shelf is not between nothing and {plan.shelf_area}"
    bought = Counter(cut.sheet for cut in plan.sheets)  # equal entries of the list share what was bought
    areas = [sheet.area if sheet.from_shelf else 0 for sheet in sheets]
    available = [bought.pop(sheet, 0) if sheet.price else sheet.available for sheet in sheets]
    for fault in _check_choices(plan, sheets, proof.certificate, (proof.bound, areas, available)):
        yield f"the bound of what the shelf gives: {fault}"


def _check_choices(
    plan: FeltPlan, sheets: Sequence[Sheet], proof: FeltCertificate, question: tuple[int, list[int], list[int | None]]
) -> Iterator[str]:
    """Try every choice of sheets that stays below a bound; the question is the bound, the prices and what there is."""
    bound, prices, available = question
    if bound <= 0:
        return
    if any(weight < 0 for weight in _all_weights(proof)):
        yield "the certificate has negative weights"
        return
    sizes: Sizes = Counter(
        (rect.length, rect.width) for cut in plan.sheets for strip in cut.strips for rect in strip.rects
    )
    there = [place for place, number in enumerate(available) if number is None or number > 0]
    sheets = [sheets[place] for place in there]
    totals, worths = weigh(proof, sizes, sheets)
    choices = Choices(
        bound,
        [prices[place] for place in there],
        [available[place] for place in there],
        totals,
        worths,
        sum(sizes.values()),
    )
    for choice in choices.that_hold():
        if choice is None:
            yield "the certificate leaves too many choices of sheets to be verified"
            return
        chosen = [sheet for sheet, number in zip(sheets, choice, strict=True) for _ in range(number)]
        if layout_exists(sizes, chosen, proof.search_nodes) is not False:
            yield f"sheets for less are not ruled out: {choice}"
            return


def _all_weights(proof: FeltCertificate) -> Iterator[int]:
    """Yield every weight of a certificate."""
    for cover in [*(cover for _, cover in proof.strip_covers), *proof.sheet_covers]:
        yield from (weight for _, weight in cover.weights)
    for joint in proof.joint_covers:
        yield from (weight for _, _, weight in joint)


def weigh(proof: FeltCertificate, sizes: Sizes, sheets: Sequence[Sheet]) -> tuple[list[int], list[list[int]]]:
    """Evaluate the weightings of a certificate: the weight of everything, and what each sheet is worth.

    Args:
        proof: the certificate.
        sizes: how often each (length, width) is wanted.
        sheets: the sheets to be had.

    Returns:
        Totals and worths, one entry a weighting.
    """
    strips = least_strips(proof, sizes, sheets)
    totals, worths = [], []
    for cover in proof.sheet_covers:
        weights = dict(cover.weights)
        totals.append(sum(weights.get(width, 0) * number for width, number in strips.items()))
        worths.append(knapsack_worths(weights, strips, [sheet.width for sheet in sheets]))
    for joint in proof.joint_covers:
        values = {(length, width): weight for length, width, weight in joint}
        totals.append(sum(values.get(size, 0) * number for size, number in sizes.items()))
        worths.append([joint_worth(values, sizes, sheet) for sheet in sheets])
    return totals, worths


def least_strips(proof: FeltCertificate, sizes: Sizes, sheets: Sequence[Sheet]) -> dict[int, int]:
    """Count the strips of each width that there must be, were every sheet as long as the longest."""
    longest = max(sheet.length for sheet in sheets)
    least = {width: 1 for _, width in sizes}
    for width, cover in proof.strip_covers:
        lengths = {length: number for (length, other), number in sizes.items() if other == width}
        weights = dict(cover.weights)
        total = sum(weights.get(length, 0) * number for length, number in lengths.items())
        worth = knapsack_worths(weights, lengths, [longest])[0]
        if worth > 0:
            least[width] = max(least[width], -(-total // worth))
    return least


def joint_worth(values: dict[tuple[int, int], int], sizes: Sizes, sheet: Sheet) -> int:
    """Compute the greatest weight one sheet can hold: the best strip of each width, then the best strips."""
    strips, numbers = {}, {}
    for width in {width for _, width in sizes}:
        lengths = {length: number for (length, other), number in sizes.items() if other == width}
        weights = {length: values.get((length, width), 0) for length in lengths}
        strips[width] = knapsack_worths(weights, lengths, [sheet.length])[0]
        numbers[width] = sum(lengths.values())
    return knapsack_worths(strips, numbers, [sheet.width])[0]


def layout_exists(sizes: Sizes, sheets: Sequence[Sheet], nodes: int) -> bool | None:
    """Search completely whether pieces can be cut from sheets.

    Args:
        sizes: how often each (length, width) is wanted.
        sheets: the single sheets.
        nodes: how many steps the search may take; 0 for no search.

    Returns:
        The answer, ``None`` if the steps did not suffice.
    """
    pieces = sorted(sizes.elements(), key=lambda size: (-size[1], -size[0]))
    # a state: how many pieces are placed; width left of each sheet; (length left) of each strip of this width
    start: _State = (0, tuple(sorted((sheet.length, sheet.width) for sheet in sheets)), ())
    stack, seen, steps = [start], {start}, 0
    while stack:
        placed, free, strips = stack.pop()
        steps += 1
        if steps > nodes:
            return None
        if placed == len(pieces):
            return True
        for state in _placements(pieces, placed, free, strips):
            if state not in seen:
                seen.add(state)
                stack.append(state)
    return False


def _placements(
    pieces: Sequence[tuple[int, int]], placed: int, free: _Pairs, strips: tuple[int, ...]
) -> Iterator[_State]:
    """Yield the states in which the next piece is in a strip of its width or in a new one."""
    length, width = pieces[placed]
    last = placed + 1 == len(pieces) or pieces[placed + 1][1] != width
    for left in sorted(set(strips)):
        if left >= length:
            rest = list(strips)
            rest.remove(left)
            yield placed + 1, free, () if last else tuple(sorted([*rest, left - length]))
    for sheet in sorted(set(free)):
        if sheet[0] >= length and sheet[1] >= width:
            others = list(free)
            others.remove(sheet)
            smaller = tuple(sorted([*others, (sheet[0], sheet[1] - width)]))
            yield placed + 1, smaller, () if last else tuple(sorted([*strips, sheet[0] - length]))
