"""Labels for the pieces of a run and for the rests worth keeping, in the order in which they come off the saw."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from railwright.shop.cut_lines import order_of
from railwright.shop.cutting.felt_model import FeltPlan, SheetCut
from railwright.shop.cutting.model import Bar, Piece, Plan
from railwright.shop.order_model import CuttingSheet
from railwright.shop.remnants import Racks, Rest, rack_labels
from railwright.writing.confirming import TO_CONFIRM, unconfirmed_orders
from railwright.writing.felt_ends import FELT_ENDS
from railwright.writing.numbers import fixed, plain
from railwright.writing.saw_hand import with_strokes
from railwright.writing.week import Week


@dataclass(frozen=True, slots=True)
class PieceLabel:
    """One label; ``name`` is what the cutting list calls the piece, ``source`` the bar or sheet that it comes from.

    ``state`` is a warning or empty; ``rest`` says that it is for what is left over, which has neither site nor ends.
    """

    name: str
    item: str
    size: str
    words: str
    source: str
    site: str = ""
    state: str = ""
    rest: bool = False


@dataclass(frozen=True, slots=True)
class _Marks:
    """What stands on labels beside the plans: sites by order, orders in doubt, racks by rest."""

    sites: dict[str, str]
    unconfirmed: frozenset[str]
    racks: Racks

    def site(self, label: str) -> str:
        return self.sites.get(order_of(label), "")

    def state(self, label: str) -> str:
        return TO_CONFIRM if order_of(label) in self.unconfirmed else ""


def labels_of(week: Week) -> tuple[PieceLabel, ...]:
    """Give the labels of every piece that is cut and every rest that is kept, in the order of the cutting list.

    Args:
        week: the run.

    Returns:
        Material by material, bar by bar or sheet by sheet: its pieces, then what is left of it.
    """
    sites = {one.order_no: (one.survey.site if one.survey else None) or "" for one in week.instruments if one.made}
    marks = _Marks(sites, unconfirmed_orders(week), rack_labels(week.cutting, week.book))
    return tuple(label for sheet in week.cutting for label in _labels(sheet, marks))


def _labels(sheet: CuttingSheet, marks: _Marks) -> Iterator[PieceLabel]:
    if isinstance(sheet.plan, Plan):
        for number, bar in enumerate(sheet.plan.bars, start=1):
            yield from _of_bar(sheet.item, bar, f"bar {number}", marks)
    else:
        for number, cut in enumerate(sheet.plan.sheets, start=1):
            yield from _of_sheet(sheet.plan, cut, f"sheet {number}", marks)


def _of_bar(item: str, bar: Bar, source: str, marks: _Marks) -> Iterator[PieceLabel]:
    for piece in bar.pieces:
        size = f"{fixed(piece.length / 10)} mm"
        yield PieceLabel(
            piece.label, item, size, _ends(piece), source, marks.site(piece.label), marks.state(piece.label)
        )
    yield from _of_rest(Rest(item, bar.remnant), source, marks)


def _ends(piece: Piece) -> str:
    return f"both ends {with_strokes(piece.setup)}"


def _of_sheet(plan: FeltPlan, cut: SheetCut, source: str, marks: _Marks) -> Iterator[PieceLabel]:
    for number, strip in enumerate(cut.strips, start=1):
        along = f"{source}, strip {number}"
        for rect in strip.rects:
            size = f"{fixed(rect.length / 10)} x {plain(rect.width / 10)} mm"
            words, site, state = f"felt, on top. {FELT_ENDS}", marks.site(rect.label), marks.state(rect.label)
            yield PieceLabel(rect.label, plan.item, size, words, along, site, state)
        yield from _of_rest(Rest(plan.item, strip.remnant, strip.width), along, marks)
    yield from _of_rest(Rest(plan.item, cut.sheet.length, cut.remnant), source, marks)


def _of_rest(rest: Rest, source: str, marks: _Marks) -> Iterator[PieceLabel]:
    """Give the label of a rest, if it is kept."""
    if rest in marks.racks:
        across = f" x {plain(rest.width / 10)}" if rest.width else ""
        size = f"{fixed(rest.length / 10)}{across} mm"
        yield PieceLabel(marks.racks[rest], rest.item, size, "rest, to the rack", source, rest=True)
