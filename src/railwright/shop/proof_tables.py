"""The certificate of a cutting plan as plain tables: what a reader needs to work its bound out anew."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from railwright.shop.cutting.certificate import knapsack_worths
from railwright.shop.cutting.felt_check import joint_worth, least_strips
from railwright.shop.cutting.felt_model import FeltCertificate, FeltPlan, Sheet
from railwright.shop.cutting.model import Certificate, Plan, Stock
from railwright.shop.order_model import CuttingSheet

Cell = str | int | float | None


@dataclass(frozen=True, slots=True)
class ProofTable:
    """One table; lengths in mm, money in the shop's own, weights whole numbers."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def proof_tables(sheet: CuttingSheet) -> Iterator[ProofTable]:
    """Spell the certificates of a material out: of the money, and of what the shelf gives.

    Args:
        sheet: the plan with the stock that it was made for.

    Yields:
        For each bound above nothing the pieces with their weights, and the stock with what it can be worth.
    """
    plan = sheet.plan
    if not sheet.stock:
        return
    if isinstance(plan, Plan):
        bars = [kind for kind in sheet.stock if isinstance(kind, Stock)]
        if plan.bound_cents > 0:
            yield from _bar_tables(plan, bars, plan.certificate, "Cost")
        if plan.shelf and plan.shelf.bound > 0:
            yield from _bar_tables(plan, bars, plan.shelf.certificate, "Shelf")
    else:
        felts = [kind for kind in sheet.stock if isinstance(kind, Sheet)]
        if plan.bound_cents > 0:
            yield from _felt_tables(plan, felts, plan.certificate, "Cost")
        if plan.shelf and plan.shelf.bound > 0:
            yield from _felt_tables(plan, _there_for_shelf(plan, felts), plan.shelf.certificate, "Shelf")


def _names(word: str, number: int) -> tuple[str, ...]:
    return tuple(f"{word} {place}" if number > 1 else word for place in range(1, number + 1))


def _had(available: int | None) -> Cell:
    return "any number" if available is None else available


def _bar_tables(plan: Plan, stock: Sequence[Stock], proof: Certificate, what: str) -> Iterator[ProofTable]:
    """Give the pieces by length and the bars by kind, with a column for each set of weights."""
    lengths = Counter(piece.length for bar in plan.bars for piece in bar.pieces)
    covers = [dict(cover.weights) for cover in proof.covers]
    rows = [
        (length / 10, number, *(weights.get(length, 0) for weights in covers))
        for length, number in sorted(lengths.items(), reverse=True)
    ]
    sums = [sum(weights.get(length, 0) * number for length, number in lengths.items()) for weights in covers]
    all_pieces: tuple[Cell, ...] = ("all pieces", sum(lengths.values()), *sums)
    heads = ("Length mm", "Pieces", *_names("Weight of one", len(covers)))
    yield ProofTable(f"{what}: pieces", heads, (*rows, all_pieces))
    widths = Counter({length + plan.kerf: number for length, number in lengths.items()})
    rooms = [max(0, kind.length - plan.trim + plan.kerf) for kind in stock]
    worths = [
        knapsack_worths({length + plan.kerf: weight for length, weight in weights.items()}, widths, rooms)
        for weights in covers
    ]
    kinds = [
        (kind.length / 10, kind.price / 100, _had(kind.available), *(worth[place] for worth in worths))
        for place, kind in enumerate(stock)
    ]
    heads = ("Bar mm", "Price", "To be had", *_names("Holds at most", len(covers)))
    yield ProofTable(f"{what}: bars", heads, tuple(kinds))


def _there_for_shelf(plan: FeltPlan, sheets: Sequence[Sheet]) -> list[Sheet]:
    """List the sheets that the question of the shelf is about: all but those sold and not bought."""
    bought = {cut.sheet for cut in plan.sheets}
    return [sheet for sheet in sheets if not sheet.price or sheet in bought]


def _by_turn(proof: FeltCertificate) -> list[dict[tuple[int, int], int]]:
    """Sort the weights of pieces in strips: the first set of every width, the second ones, and so on."""
    turns: list[dict[tuple[int, int], int]] = []
    met = Counter[int]()
    for width, cover in proof.strip_covers:
        if met[width] == len(turns):
            turns.append({})
        turns[met[width]].update({(length, width): weight for length, weight in cover.weights})
        met[width] += 1
    return turns


def _felt_tables(plan: FeltPlan, sheets: Sequence[Sheet], proof: FeltCertificate, what: str) -> Iterator[ProofTable]:
    """Give the pieces by size, the strips by width and the sheets by kind, with a column for each set of weights."""
    sizes = Counter((rect.length, rect.width) for cut in plan.sheets for strip in cut.strips for rect in strip.rects)
    in_strips = _by_turn(proof)
    joints = [{(length, width): weight for length, width, weight in joint} for joint in proof.joint_covers]
    rows = [
        (size[0] / 10, size[1] / 10, number, *(values.get(size, 0) for values in (*in_strips, *joints)))
        for size, number in sorted(sizes.items(), reverse=True)
    ]
    weights_heads = (*_names("Weight in a strip", len(in_strips)), *_names("Weight in a sheet", len(joints)))
    heads = ("Length mm", "Width mm", "Pieces", *weights_heads)
    yield ProofTable(f"{what}: pieces", heads, tuple(rows))
    covers = [dict(cover.weights) for cover in proof.sheet_covers]
    strips = least_strips(proof, sizes, sheets)
    widths = [(width / 10, number, *(c.get(width, 0) for c in covers)) for width, number in sorted(strips.items())]
    heads = ("Strip mm", "At least", *_names("Weight of a strip", len(covers)))
    yield ProofTable(f"{what}: strips", heads, tuple(widths))
    by_strips = [knapsack_worths(weights, strips, [sheet.width for sheet in sheets]) for weights in covers]
    by_pieces = [[joint_worth(values, sizes, sheet) for sheet in sheets] for values in joints]
    kinds = [
        (
            f"{sheet.length / 10:g} x {sheet.width / 10:g}",
            sheet.price / 100,
            _had(sheet.available),
            *(worth[place] for worth in (*by_strips, *by_pieces)),
        )
        for place, sheet in enumerate(sheets)
    ]
    holds = (*_names("Holds strips", len(covers)), *_names("Holds pieces", len(joints)))
    yield ProofTable(f"{what}: sheets", ("Sheet mm", "Price", "To be had", *holds), tuple(kinds))
