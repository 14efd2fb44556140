"""What purchasing and the saw are told: order lines, what each instrument needs, and the cutting plan of a material."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Literal

from railwright.book.model import StockLine
from railwright.computing.results import Part

if TYPE_CHECKING:
    from railwright.shop.cutting.felt_model import FeltPlan, Sheet
    from railwright.shop.cutting.model import Plan, Stock


@dataclass(frozen=True, slots=True)
class DayNeed:
    """How much of an item is wanted by one day, and by which orders; the day is ``None`` where none is given."""

    day: date | None
    quantity: Decimal
    orders: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One item to have: what the week needs, what lies on the shelf, and what to buy.

    ``need``, ``on_hand`` and ``buy`` count in ``unit``; ``buy`` is ``packs`` times ``pack``. ``cost`` is for all packs,
    ``None`` where the shop book gives no price. ``orders`` are the instruments that need the item and ``needed_by`` the
    earliest of their days; ``by_day`` has all of them.

    ``used`` is what the week takes from shelf and purchase together, in whole units; less than the need where something
    is missing. ``size`` is a bar's or sheet's length and width in tenths of a millimetre. ``members`` are the items
    whose shelves serve, and ``seller`` the stock line that is bought: maybe of another item of the same specification.
    """

    item: str
    name: str
    need: Decimal
    on_hand: Decimal
    buy: Decimal
    pack: int
    packs: int
    unit: str
    cost: Decimal | None
    orders: tuple[str, ...]
    needed_by: date | None
    supplier: str
    by_day: tuple[DayNeed, ...] = ()
    used: Decimal = Decimal(0)
    size: tuple[int, int] = (0, 0)
    members: tuple[str, ...] = ()
    seller: StockLine | None = None

    @property
    def buy_item(self) -> str:
        """The code to order by: of the item itself, or of the one that is bought in its place."""
        return self.seller.item if self.seller and self.packs else self.item

    @property
    def missing(self) -> Decimal:
        """What neither the shelf nor a purchase covers, in the line's unit."""
        return max(Decimal(0), self.need - self.on_hand - self.buy)


@dataclass(frozen=True, slots=True)
class InstrumentNeed:
    """The part list of one instrument, as it enters the order."""

    order_no: str
    site: str
    needed_by: date | None
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class CuttingSheet:
    """The cutting plan of one material, and whether bars or felt sheets are cut.

    ``faults`` are what the separate check found wrong with the plan or its bound; empty for every sound plan.
    ``stock`` is what the plan could be made from, for whoever works its bound out anew.
    """

    item: str
    name: str
    kind: Literal["bar", "felt"]
    plan: Plan | FeltPlan
    faults: tuple[str, ...] = ()
    stock: tuple[Stock | Sheet, ...] = ()

    @property
    def proven(self) -> bool:
        """Whether the plan's cost is proven least, and the check agrees."""
        return self.plan.proven and not self.faults
