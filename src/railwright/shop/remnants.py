"""What is left of bars and sheets and worth keeping, each kind with a proposed rack label."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import count

from railwright.book.model import ShopBook
from railwright.shop.cutting.felt_model import FeltPlan
from railwright.shop.cutting.model import Plan, tenths
from railwright.shop.order_model import CuttingSheet

#: Proposed labels are this letter and a number that no rack of the shop book bears.
_LETTER = "R"


@dataclass(frozen=True, slots=True)
class Rest:
    """What is left of one bar or sheet; lengths in tenths of a millimetre, the width of a bar's rest is 0."""

    item: str
    length: int
    width: int = 0


Racks = Mapping[Rest, str]


def rests(sheet: CuttingSheet) -> Iterator[Rest]:
    """Go through everything that is left when a plan is cut.

    Args:
        sheet: the cutting plan of one material.

    Yields:
        The end of each bar; of each felt sheet the ends of its strips, and what is left across its whole length.
    """
    if isinstance(sheet.plan, Plan):
        for bar in sheet.plan.bars:
            yield Rest(sheet.item, bar.remnant)
    else:
        yield from _felt_rests(sheet.plan)


def _felt_rests(plan: FeltPlan) -> Iterator[Rest]:
    for cut in plan.sheets:
        for strip in cut.strips:
            yield Rest(plan.item, strip.remnant, strip.width)
        yield Rest(plan.item, cut.sheet.length, cut.remnant)


def worth_keeping(rest: Rest, kind: str, book: ShopBook) -> bool:
    """Tell whether a rest is long enough for the shelf, and wide enough if it is felt.

    Args:
        rest: what is left.
        kind: ``bar`` or ``felt``.
        book: the least length and width that the shop keeps.

    Returns:
        Whether it goes back to the shelf.
    """
    long_enough = rest.length > 0 and rest.length >= tenths(Decimal(str(book.value("offcut_keep"))))
    least_width = tenths(Decimal(str(book.value("felt_keep_width"))))
    return long_enough and (kind == "bar" or 0 < rest.width >= least_width)


def kept_rests(cutting: Sequence[CuttingSheet], book: ShopBook) -> Counter[Rest]:
    """Count the rests that go back to the shelf, by material and size, in cutting order."""
    return Counter(rest for sheet in cutting for rest in rests(sheet) if worth_keeping(rest, sheet.kind, book))


def rack_labels(cutting: Sequence[CuttingSheet], book: ShopBook) -> Racks:
    """Propose a rack label for every kind of rest that is kept; rests of one material and size lie together.

    Args:
        cutting: the plans of the week.
        book: the racks that are in use already, and what is worth keeping.

    Returns:
        Labels by rest, numbered in cutting order.
    """
    taken = {line.rack.casefold() for line in book.stock}
    free = (label for number in count(1) if (label := f"{_LETTER}{number}").casefold() not in taken)
    return dict(zip(kept_rests(cutting, book), free, strict=False))
