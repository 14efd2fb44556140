"""Felt pieces, sheets, strips and plans. Lengths are whole tenths of a millimetre, money whole cents.

A sheet is cut with a knife, without kerf: first into strips over its whole length, one beside the other across
its width, then every strip into lengths. A piece is as wide as its strip; it is never turned, because the grain
runs along the sheet.
"""

from __future__ import annotations

from dataclasses import dataclass

from railwright.shop.cutting.model import Cover


@dataclass(frozen=True, slots=True)
class Rect:
    """One piece of felt; ``length`` runs along the grain."""

    label: str
    length: int
    width: int


@dataclass(frozen=True, slots=True)
class Sheet:
    """One kind of sheet to buy, or one kind of offcut on the shelf; ``available`` ``None``: as many as wanted."""

    item: str
    length: int
    width: int
    cents: int
    available: int | None
    offcut: bool = False
    rack: str = ""

    @property
    def price(self) -> int:
        """The money this sheet adds to a plan, in cents."""
        return 0 if self.offcut else self.cents

    @property
    def from_shelf(self) -> bool:
        """Whether this is a whole sheet that lies on the shelf, already paid for."""
        return not self.offcut and self.available is not None and self.cents == 0

    @property
    def area(self) -> int:
        """The area of one sheet, in hundredths of a square millimetre."""
        return self.length * self.width


@dataclass(frozen=True, slots=True)
class Strip:
    """One strip of a sheet with its pieces from one end; ``remnant`` is the length left."""

    width: int
    rects: tuple[Rect, ...]
    remnant: int


@dataclass(frozen=True, slots=True)
class SheetCut:
    """One sheet with its strips from one edge; ``remnant`` is the width left, over the whole length."""

    sheet: Sheet
    strips: tuple[Strip, ...]
    remnant: int


@dataclass(frozen=True, slots=True)
class FeltCertificate:
    """Why no plan can cost less than the bound.

    ``strip_covers`` hold, for a strip width, weights of the piece lengths: they say how many strips of that width
    there must be at least, were every sheet as long as the longest. ``sheet_covers`` are weights of those strips
    by width. ``joint_covers`` weigh the pieces themselves, as (length, width, weight). Every choice of sheets
    cheaper than the bound breaks one of them, or holds the pieces in no way, as a complete search shows that takes
    at most ``search_nodes`` steps.
    """

    strip_covers: tuple[tuple[int, Cover], ...] = ()
    sheet_covers: tuple[Cover, ...] = ()
    joint_covers: tuple[tuple[tuple[int, int, int], ...], ...] = ()
    search_nodes: int = 0

    def explain(self) -> str:
        """Say in one sentence what the proof rests on."""
        if not (self.strip_covers or self.sheet_covers or self.joint_covers):
            return "nothing costs less than nothing"
        text = (
            "integer weights of pieces in strips, strips in sheets and pieces in sheets rule out every cheaper choice"
        )
        if self.search_nodes:
            text += f", the last ones by a complete search of at most {self.search_nodes} nodes"
        return text


@dataclass(frozen=True, slots=True)
class FeltBound:
    """A bound and the weights that show it.

    The bound of a plan's ``shelf`` is an area in hundredths of a square millimetre: how little of the whole sheets on
    the shelf any plan takes that buys no other sheets. Its weights are held against areas in place of money.
    """

    bound: int
    certificate: FeltCertificate


@dataclass(frozen=True, slots=True)
class FeltPlan:
    """How to cut the pieces of one felt, what that costs, and what no plan can undercut.

    ``shelf`` is there where whole sheets come from the shelf.
    """

    item: str
    sheets: tuple[SheetCut, ...]
    unplaced: tuple[Rect, ...]
    cents: int
    bound_cents: int
    proven: bool
    certificate: FeltCertificate
    shelf: FeltBound | None = None

    @property
    def shelf_area(self) -> int:
        """The area of the whole sheets taken from the shelf, in hundredths of a square millimetre."""
        return sum(cut.sheet.area for cut in self.sheets if cut.sheet.from_shelf)

    @property
    def offcut_area(self) -> int:
        """The area of all pieces that come from offcuts, in hundredths of a square millimetre."""
        cuts = (cut for cut in self.sheets if cut.sheet.offcut)
        return sum(rect.length * rect.width for cut in cuts for strip in cut.strips for rect in strip.rects)
