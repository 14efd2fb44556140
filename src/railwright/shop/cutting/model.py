"""Pieces, stock, bars and plans. Lengths are whole tenths of a millimetre, money whole cents."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal


def tenths(value: Decimal | str | float | int) -> int:
    """Convert millimetres to whole tenths of a millimetre, halves rounded up.

    A binary float is read through its shortest decimal form (``0.15`` is 0.15, not 0.1499...), so no
    multiplication of floats ever decides a tenth. Halves go away from zero: 0.05 mm is one tenth.

    Args:
        value: a length in mm.

    Returns:
        The length in tenths of a millimetre.

    Raises:
        ValueError: the value is not a finite number.
    """
    number = Decimal(str(value))
    if not number.is_finite():
        raise ValueError(f"a length must be a finite number, not {value!r}")
    return int((number * 10).quantize(Decimal(1), rounding=ROUND_HALF_UP))


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece to be sawn: its label, its longest length and the saw setting it needs (``left 12.0``)."""

    label: str
    length: int
    setup: str = ""


@dataclass(frozen=True, slots=True)
class Stock:
    """One kind of bar to buy, or one kind of offcut on the shelf.

    ``available`` counts the bars to be had, ``None`` means as many as are wanted. Offcuts are paid for: their
    price never enters a plan.
    """

    item: str
    length: int
    cents: int
    available: int | None
    offcut: bool = False
    rack: str = ""

    @property
    def price(self) -> int:
        """The money this bar adds to a plan, in cents."""
        return 0 if self.offcut else self.cents

    @property
    def from_shelf(self) -> bool:
        """Whether this is a whole bar that lies on the shelf, already paid for."""
        return not self.offcut and self.available is not None and self.cents == 0


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar with its pieces in sawing order from one end, and what is left of it."""

    stock: Stock
    pieces: tuple[Piece, ...]
    remnant: int


@dataclass(frozen=True, slots=True)
class Cover:
    """A weight for each piece length: the weights of the pieces on one bar never exceed that bar's worth.

    Hence bars that hold all pieces are together worth at least the weight of all pieces.
    """

    weights: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Certificate:
    """Why no plan can cost less than the bound.

    Every choice of bars that costs less than the bound breaks one of ``covers``; or, with ``search_nodes`` above
    zero, holds the pieces in no arrangement, as a complete search of at most that many nodes shows.
    """

    covers: tuple[Cover, ...] = ()
    search_nodes: int = 0

    def explain(self) -> str:
        """Say in one sentence what the proof rests on."""
        text = f"integer weights: {len(self.covers)} set(s) rule out every cheaper choice of bars"
        if self.search_nodes:
            text += f", the last ones by a complete search of at most {self.search_nodes} nodes"
        return text if self.covers or self.search_nodes else "nothing costs less than nothing"


@dataclass(frozen=True, slots=True)
class ShelfProof:
    """How little of the whole bars on the shelf any plan takes that buys no other bars than this one.

    ``bound`` is a length in tenths of a millimetre; the certificate weighs with lengths where that of a plan weighs
    with money.
    """

    bound: int
    certificate: Certificate


@dataclass(frozen=True, slots=True)
class Plan:
    """How to saw the pieces of one item, what that costs, and what no plan can undercut.

    ``unplaced`` holds pieces that fit no stock, and those for which the stock to be had does not suffice; money
    and bound are for the others. ``proven`` says that money and bound are equal. ``shelf`` is there where whole bars
    come from the shelf.
    """

    item: str
    kerf: int
    trim: int
    bars: tuple[Bar, ...]
    unplaced: tuple[Piece, ...]
    cents: int
    bound_cents: int
    proven: bool
    certificate: Certificate
    shelf: ShelfProof | None = None

    @property
    def shelf_length(self) -> int:
        """The length of the whole bars taken from the shelf, in tenths of a millimetre."""
        return sum(bar.stock.length for bar in self.bars if bar.stock.from_shelf)

    @property
    def setups(self) -> int:
        """How often the saw is set while the bars are sawn in their order, the first setting included."""
        settings = [piece.setup for bar in self.bars for piece in bar.pieces]
        return sum(after != before for before, after in zip([None, *settings], settings, strict=False))

    @property
    def longest_remnant(self) -> int:
        """The longest single rest, in tenths of a millimetre."""
        return max((bar.remnant for bar in self.bars), default=0)

    @property
    def offcut_length(self) -> int:
        """The length of all pieces that come from offcuts, in tenths of a millimetre."""
        return sum(piece.length for bar in self.bars if bar.stock.offcut for piece in bar.pieces)


def remnant(stock_length: int, lengths: list[int], kerf: int, trim: int) -> int:
    """Return what is left of a bar: its length less the end trim, the pieces and one kerf a piece.

    Args:
        stock_length: length of the bar, tenths of a millimetre.
        lengths: the pieces on it, tenths of a millimetre.
        kerf: width of one cut.
        trim: end trim, taken once a bar.

    Returns:
        The rest, 0 where the last cut just uses the bar up.
    """
    return max(0, stock_length - trim - sum(lengths) - kerf * len(lengths))
