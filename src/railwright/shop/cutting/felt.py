"""From felt pieces and sheets to a plan with its proof.

Strips of one width are a cutting problem of lengths, sheets one of widths: both are solved by the means for bars,
with a knife instead of a saw. Where all sheets have one length nothing is lost by that, and the bounds of both
stages join into one: so many strips at least, and for so many strips so much money. Weights of the pieces
themselves bound the money where the lengths of the sheets differ.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from railwright.shop.cutting.bound import Need, bound_and_counts
from railwright.shop.cutting.certificate import Choices
from railwright.shop.cutting.columns import row_prices
from railwright.shop.cutting.felt_check import layout_exists, least_strips, weigh
from railwright.shop.cutting.felt_fill import fill_sheet
from railwright.shop.cutting.felt_model import (
    FeltBound,
    FeltCertificate,
    FeltPlan,
    Rect,
    Sheet,
    SheetCut,
    Strip,
)
from railwright.shop.cutting.instance import Instance, make_instance
from railwright.shop.cutting.model import Bar, Piece, Plan, Stock
from railwright.shop.cutting.solve import NODE_LIMIT, construct, plan_bars

_SEARCH_NODES = 20_000
_SEARCH_PIECES = 14
_PRICE_STEPS = 150
#: Strips of mixed lengths are planned for at most so many lengths of one width, with so many steps.
_MIXED = 200
_MIXED_NODES = 100


def plan_felt(item: str, rects: Sequence[Rect], sheets: Sequence[Sheet], node_limit: int = NODE_LIMIT) -> FeltPlan:
    """Plan how to cut felt at the least money for bought sheets, then with the least area of sheets from the shelf.

    Among equal plans of the tries made, the one that cuts most from offcuts is taken.

    Args:
        item: code of the felt.
        rects: what is wanted.
        sheets: sheets and offcuts of this felt.
        node_limit: how many steps each search for a better plan or bound may take.

    Returns:
        The plan; the same for the same input on any machine. Pieces that fit no sheet, or for which the sheets
        do not suffice, are in ``unplaced``; then money and bound are for the others.
    """
    # equal entries of the list stay apart while planning: each is named after its place
    named = [replace(sheet, rack=str(n)) for n, sheet in enumerate(sheets)]
    usable = [sheet for sheet in named if sheet.available is None or sheet.available > 0]
    fit = [rect for rect in rects if any(_fits(rect, sheet) for sheet in usable)]
    unfit = tuple(rect for rect in rects if not any(_fits(rect, sheet) for sheet in usable))
    cuts, left, first = _least_money(item, fit, usable, node_limit)
    cents = _money(cuts)
    cuts, shelf = _least_shelf(item, fit, usable, cuts, node_limit) if not left else (cuts, None)
    done = tuple(_tidy(replace(cut, sheet=sheets[int(cut.sheet.rack)])) for cut in cuts)
    return FeltPlan(item, done, (*unfit, *left), cents, first.bound, cents == first.bound, first.certificate, shelf)


def _money(cuts: Sequence[SheetCut]) -> int:
    """Add up the prices of the sheets."""
    return sum(cut.sheet.price for cut in cuts)


def _least_money(
    item: str, rects: Sequence[Rect], sheets: Sequence[Sheet], node_limit: int
) -> tuple[list[SheetCut], list[Rect], FeltBound]:
    """Cut for the least money; also return the pieces left over, and the bound for the others with its weights."""
    proof = _proof(item, rects, sheets, node_limit)
    cuts, left = _best_cut(item, rects, sheets, _bound(proof, rects, sheets, None), node_limit)
    placed = [rect for cut in cuts for strip in cut.strips for rect in strip.rects]
    if left:
        proof = _proof(item, placed, sheets, node_limit)
    bound = _bound(proof, placed, sheets, _money(cuts))
    if bound < _money(cuts) and len(placed) <= _SEARCH_PIECES:
        cuts, bound, proof = _search(cuts, bound, proof, placed, sheets)
    return cuts, left, FeltBound(bound, proof if bound else FeltCertificate())


def _least_shelf(
    item: str, rects: Sequence[Rect], sheets: Sequence[Sheet], cuts: list[SheetCut], node_limit: int
) -> tuple[list[SheetCut], FeltBound | None]:
    """Take as little as can be of the whole sheets on the shelf; the sheets that are bought are there already.

    The same question over again: a sheet from the shelf costs its area, and what is bought costs nothing more.
    """
    used = Counter(cut.sheet for cut in cuts)
    if not any(sheet.from_shelf for sheet in used):
        return cuts, None
    anew = {sheet: _as_given(sheet, used[sheet]) for sheet in sheets}
    again = [sheet for sheet in anew.values() if sheet.available is None or sheet.available > 0]
    found, left, proof = _least_money(item, rects, again, node_limit)
    before = sum(cut.sheet.area for cut in cuts if cut.sheet.from_shelf)
    if left or _money(found) > before:
        return cuts, proof if not left and proof.bound <= before else FeltBound(0, FeltCertificate())
    as_named = {new: old for old, new in anew.items()}
    return [replace(cut, sheet=as_named[cut.sheet]) for cut in found], proof


def _as_given(sheet: Sheet, used: int) -> Sheet:
    """Price a sheet for the second question."""
    if sheet.from_shelf:
        return replace(sheet, cents=sheet.area)
    return replace(sheet, cents=0, available=used) if sheet.price else sheet


def _best_cut(
    item: str, rects: Sequence[Rect], sheets: Sequence[Sheet], enough: int, node_limit: int
) -> tuple[list[SheetCut], list[Rect]]:
    """Try orders of using sheets up until one costs no more than the bound."""
    best: tuple[list[SheetCut], list[Rect]] = ([], list(rects))
    for order in _orders(sheets):
        done = _cut(item, rects, order, node_limit)
        if _merit(*done) < _merit(*best):
            best = done
        if not best[1] and sum(cut.sheet.price for cut in best[0]) <= enough:
            return best
    lengths = Counter(width for _, width in {(rect.length, rect.width) for rect in rects})
    sold = {sheet.length for sheet in sheets if not sheet.offcut}
    if len(sold) > 1 and max(lengths.values(), default=0) <= _MIXED:
        done = _cut_mixed(item, rects, sheets, min(node_limit, _MIXED_NODES))
        if _merit(*done) < _merit(*best):
            best = done
    return best


def _cut_mixed(
    item: str, rects: Sequence[Rect], sheets: Sequence[Sheet], node_limit: int
) -> tuple[list[SheetCut], list[Rect]]:
    """Use offcuts up one by one; for the rest let every width choose the lengths of its strips by their price."""
    shelf = sorted(
        (sheet for sheet in sheets if sheet.offcut), key=lambda sheet: (sheet.length * sheet.width, sheet.rack)
    )
    cuts, left = _cut(item, rects, [[sheet] for sheet in shelf], node_limit)
    sold = [sheet for sheet in sheets if not sheet.offcut and any(_fits(rect, sheet) for rect in left)]
    strips: dict[int, list[Strip]] = {}
    for width in sorted({rect.width for rect in left}, reverse=True):
        same = [rect for rect in left if rect.width == width]
        pieces = [Piece(str(place), rect.length) for place, rect in enumerate(same)]
        plan = plan_bars("strip", pieces, _shares(sold, width), 0, 0, node_limit)
        for bar in plan.bars:
            held = tuple(same[int(piece.label)] for piece in bar.pieces)
            strips.setdefault(bar.stock.length, []).append(Strip(width, held, bar.remnant))
    for length, here in sorted(strips.items()):
        cuts += _lay(item, here, [sheet for sheet in sold if sheet.length == length], node_limit)
    placed = Counter(rect for cut in cuts for strip in cut.strips for rect in strip.rects)
    return cuts, list((Counter(rects) - placed).elements())


def _shares(sheets: Sequence[Sheet], width: int) -> list[Stock]:
    """Price strips of one width by the share of the sheet they take, in thousandths of a cent."""
    fit = [sheet for sheet in sheets if sheet.width >= width]
    return [Stock("strip", sheet.length, sheet.cents * width * 1000 // sheet.width, None) for sheet in fit]


def _fits(rect: Rect, sheet: Sheet) -> bool:
    """Say whether a piece fits a sheet as the grain runs."""
    return 0 < rect.length <= sheet.length and 0 < rect.width <= sheet.width


def _merit(cuts: Sequence[SheetCut], left: Sequence[Rect]) -> tuple[int, int, int]:
    """Rank a try: least area left over, least money, most area from offcuts."""
    area = sum(rect.length * rect.width for rect in left)
    from_offcuts = sum(
        rect.length * rect.width for cut in cuts if cut.sheet.offcut for strip in cut.strips for rect in strip.rects
    )
    return area, sum(cut.sheet.price for cut in cuts), -from_offcuts


def _orders(sheets: Sequence[Sheet]) -> list[list[list[Sheet]]]:
    """List the orders in which groups of sheets are used up.

    Offcuts one by one, the small before the large, and then the sheets that are sold, by length, each length once
    the first; or offcuts together with the sheets of their length.
    """
    sold = sorted({sheet.length for sheet in sheets if not sheet.offcut}, reverse=True)
    groups = {length: [sheet for sheet in sheets if sheet.length == length and not sheet.offcut] for length in sold}
    shelf = sorted(
        (sheet for sheet in sheets if sheet.offcut), key=lambda sheet: (sheet.length * sheet.width, sheet.rack)
    )
    like = {length: [sheet for sheet in shelf if sheet.length == length] for length in sold}
    single = [[sheet] for sheet in shelf]
    unlike = [[sheet] for sheet in shelf if sheet.length not in groups]
    if not sold:
        return [single]
    orders = []
    for first in sold:
        turn = [first, *(length for length in sold if length != first)]
        orders.append([*unlike, *(groups[length] + like[length] for length in turn)])
        orders.append([*single, *(groups[length] for length in turn)])
    return orders


def _cut(
    item: str, rects: Sequence[Rect], groups: Sequence[Sequence[Sheet]], node_limit: int
) -> tuple[list[SheetCut], list[Rect]]:
    """Use up groups of sheets, one after the other."""
    cuts: list[SheetCut] = []
    left = list(rects)
    for group in groups:
        here = [rect for rect in left if any(_fits(rect, sheet) for sheet in group)]
        if not here:
            continue
        alone = len(group) == 1 and group[0].offcut
        more = _cut_offcut(here, group[0]) if alone else _cut_group(item, here, group, node_limit)
        cuts += more
        left = _without(left, more)
    return cuts, left


def _without(rects: Sequence[Rect], cuts: Sequence[SheetCut]) -> list[Rect]:
    """Leave out what is cut; of pieces that are alike the first ones go."""
    gone = Counter(rect for cut in cuts for strip in cut.strips for rect in strip.rects)
    left = []
    for rect in rects:
        if gone[rect] > 0:
            gone[rect] -= 1
        else:
            left.append(rect)
    return left


def _cut_offcut(rects: Sequence[Rect], sheet: Sheet) -> list[SheetCut]:
    """Fill the offcuts of one kind, one after the other."""
    cuts: list[SheetCut] = []
    left = list(rects)
    while left and (sheet.available is None or len(cuts) < sheet.available):
        cut = fill_sheet([rect for rect in left if _fits(rect, sheet)], sheet)
        if cut is None:
            break
        cuts.append(cut)
        left = _without(left, [cut])
    return cuts


def _cut_group(item: str, rects: Sequence[Rect], sheets: Sequence[Sheet], node_limit: int) -> list[SheetCut]:
    """Cut from sheets of one length: fewest strips of each width, then the strips from the sheets."""
    length = sheets[0].length
    strips: list[Strip] = []
    for width in sorted({rect.width for rect in rects}, reverse=True):
        same = [rect for rect in rects if rect.width == width]
        plan = _strip_plan(same, length, node_limit)
        strips += [
            Strip(width, tuple(same[int(piece.label)] for piece in bar.pieces), bar.remnant) for bar in plan.bars
        ]
    return _lay(item, strips, sheets, node_limit)


def _lay(item: str, strips: list[Strip], sheets: Sequence[Sheet], node_limit: int) -> list[SheetCut]:
    """Lay strips on the cheapest sheets of one length."""
    strips = sorted(strips, key=lambda strip: (-strip.width, strip.remnant))
    plan = _sheet_plan(item, [strip.width for strip in strips], sheets, node_limit)
    kinds = {_as_stock(sheet): sheet for sheet in sheets}
    return [_sheet_cut(bar, strips, kinds[bar.stock]) for bar in plan.bars]


def _sheet_cut(bar: Bar, strips: Sequence[Strip], sheet: Sheet) -> SheetCut:
    """Read a bar whose pieces are strips as a sheet."""
    return SheetCut(sheet, tuple(strips[int(piece.label)] for piece in bar.pieces), bar.remnant)


def _tidy(cut: SheetCut) -> SheetCut:
    """Put the wide strips first and the long pieces first in each."""
    strips = [
        Strip(strip.width, tuple(sorted(strip.rects, key=lambda rect: (-rect.length, rect.label))), strip.remnant)
        for strip in cut.strips
    ]
    return SheetCut(cut.sheet, tuple(sorted(strips, key=lambda strip: -strip.width)), cut.remnant)


def _strip_plan(rects: Sequence[Rect], length: int, node_limit: int) -> Plan:
    """Plan the fewest strips of one width; the labels are places in the list."""
    return _strips_of(tuple(rect.length for rect in rects), length, node_limit)


@lru_cache(maxsize=32)
def _strips_of(lengths: tuple[int, ...], length: int, node_limit: int) -> Plan:
    """Plan strips once, although the proof and several tries ask for the same."""
    pieces = [Piece(str(place), wanted) for place, wanted in enumerate(lengths)]
    return plan_bars("strip", pieces, [Stock("strip", length, 1, None)], 0, 0, node_limit)


def _sheet_plan(item: str, widths: Sequence[int], sheets: Sequence[Sheet], node_limit: int) -> Plan:
    """Plan the cheapest sheets for strips of given widths; the labels are places in the list."""
    pieces = [Piece(str(place), width) for place, width in enumerate(widths)]
    return plan_bars(item, pieces, [_as_stock(sheet) for sheet in sheets], 0, 0, node_limit)


def _as_stock(sheet: Sheet) -> Stock:
    """Read a sheet as a bar as long as the sheet is wide."""
    return Stock(sheet.item, sheet.width, sheet.cents, sheet.available, sheet.offcut, f"{sheet.rack}|{sheet.length}")


def _proof(item: str, rects: Sequence[Rect], sheets: Sequence[Sheet], node_limit: int) -> FeltCertificate:
    """Collect weights: of lengths in strips, of strips in sheets, and the areas of the pieces themselves."""
    if not rects:
        return FeltCertificate()
    longest = max(sheet.length for sheet in sheets)
    least: list[int] = []
    strip_covers = []
    for width in sorted({rect.width for rect in rects}, reverse=True):
        plan = _strip_plan([rect for rect in rects if rect.width == width], longest, node_limit)
        # a bound that rests on a search has no weights that show it: the weights alone are evaluated
        probe = FeltCertificate(tuple((width, cover) for cover in plan.certificate.covers))
        sizes = Counter((rect.length, rect.width) for rect in rects if rect.width == width)
        least += [width] * least_strips(probe, sizes, sheets)[width]
        strip_covers += [(width, cover) for cover in plan.certificate.covers]
    stage = _sheet_plan(item, least, sheets, node_limit)
    area = tuple((*size, size[0] * size[1]) for size in sorted({(rect.length, rect.width) for rect in rects}))
    joint = (area, _priced(rects, sheets)) if len({sheet.length for sheet in sheets if sheet.price}) > 1 else (area,)
    return FeltCertificate(tuple(strip_covers), stage.certificate.covers, joint)


def _priced(rects: Sequence[Rect], sheets: Sequence[Sheet]) -> tuple[tuple[int, int, int], ...]:
    """Weigh the pieces by what their strips are worth, where a strip costs its share of a sheet of any length."""
    sold = [sheet for sheet in sheets if sheet.price]
    weights = []
    for width in sorted({rect.width for rect in rects}):
        stock = _shares(sold, width)
        lengths = [rect.length for rect in rects if rect.width == width]
        lengths = [length for length in lengths if any(length <= strip.length for strip in stock)]
        if lengths:
            instance = make_instance(lengths, stock, 0, 0)
            prices = row_prices(instance, construct(instance)[0], _PRICE_STEPS)
            weights += [(length, width, int(price)) for length, price in zip(instance.widths, prices, strict=True)]
    return tuple(weights)


def _choices(proof: FeltCertificate, rects: Sequence[Rect], sheets: Sequence[Sheet], cents: int) -> Choices:
    """Set up the choices of sheets for less than some money that the weights do not rule out."""
    sizes = Counter((rect.length, rect.width) for rect in rects)
    totals, worths = weigh(proof, sizes, sheets)
    prices = [sheet.price for sheet in sheets]
    return Choices(cents, prices, [sheet.available for sheet in sheets], totals, worths, len(rects))


def _bound(proof: FeltCertificate, rects: Sequence[Rect], sheets: Sequence[Sheet], cents: int | None) -> int:
    """Find the money below which the weights rule everything out, at most ``cents``."""
    if not rects:
        return 0
    choices = _choices(proof, rects, sheets, cents or 0)
    limits = tuple(len(rects) if n is None else min(len(rects), n) for n in choices.available)
    stock = Instance((), (), (), tuple(choices.prices), limits)
    needs = [Need((), total, tuple(worth)) for total, worth in zip(choices.totals, choices.worths, strict=True)]
    return bound_and_counts(stock, needs, cents, 1)[0]


def _search(
    cuts: list[SheetCut], bound: int, proof: FeltCertificate, rects: Sequence[Rect], sheets: Sequence[Sheet]
) -> tuple[list[SheetCut], int, FeltCertificate]:
    """Search completely for cheaper sheets; the bound is the money itself once there are none."""
    sizes = Counter((rect.length, rect.width) for rect in rects)
    while True:
        cents = sum(cut.sheet.price for cut in cuts)
        better = None
        for choice in _choices(proof, rects, sheets, cents).that_hold():
            if choice is None:
                return cuts, bound, proof
            chosen = [sheet for sheet, number in zip(sheets, choice, strict=True) for _ in range(number)]
            exists = layout_exists(sizes, chosen, _SEARCH_NODES)
            if exists is None:
                return cuts, bound, proof
            if exists:
                better = next(layouts(rects, chosen))
                break
        if better is None:
            return cuts, cents, replace(proof, search_nodes=_SEARCH_NODES)
        cuts = better


def layouts(rects: Sequence[Rect], sheets: Sequence[Sheet]) -> Iterator[list[SheetCut]]:
    """Yield the ways to cut pieces from single sheets; sheets that look alike are tried once.

    Args:
        rects: the pieces.
        sheets: the single sheets.

    Yields:
        The sheets that are used, with their strips.
    """
    ordered = sorted(rects, key=lambda rect: (-rect.width, -rect.length, rect.label))
    yield from (_read(sheets, strips) for strips in _strips(ordered, sheets, []))


_Open = list[tuple[int, list[Rect]]]


def _strips(rects: Sequence[Rect], sheets: Sequence[Sheet], strips: _Open) -> Iterator[_Open]:
    """Yield strips as (place of the sheet, pieces): each next piece goes on a strip or begins one."""
    if not rects:
        yield strips
        return
    rect, tried = rects[0], set()
    for place, (sheet, held) in enumerate(strips):
        left = sheets[sheet].length - sum(other.length for other in held)
        if held[0].width == rect.width and left >= rect.length and left not in tried:
            tried.add(left)
            grown = [*strips[:place], (sheet, [*held, rect]), *strips[place + 1 :]]
            yield from _strips(rects[1:], sheets, grown)
    begun = set()
    for place, sheet_kind in enumerate(sheets):
        left = sheet_kind.width - sum(held[0].width for sheet, held in strips if sheet == place)
        if _fits(rect, sheet_kind) and left >= rect.width and (sheet_kind.length, left) not in begun:
            begun.add((sheet_kind.length, left))
            yield from _strips(rects[1:], sheets, [*strips, (place, [rect])])


def _read(sheets: Sequence[Sheet], strips: _Open) -> list[SheetCut]:
    """Read strips as sheets; sheets without strips are left out."""
    cuts = []
    for place, sheet in enumerate(sheets):
        here = [
            Strip(held[0].width, tuple(held), sheet.length - sum(rect.length for rect in held))
            for other, held in strips
            if other == place
        ]
        if here:
            cuts.append(SheetCut(sheet, tuple(here), sheet.width - sum(strip.width for strip in here)))
    return cuts
