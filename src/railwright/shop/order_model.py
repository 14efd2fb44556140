"""What purchasing and the saw are told: order lines, what each instrument needs, and the cutting plan of a material."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Literal

from railwright.computing.results import Part

if TYPE_CHECKING:
    from railwright.shop.cutting.felt_model import FeltPlan
    from railwright.shop.cutting.model import Plan


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One item to have: what the week needs, what lies on the shelf, and what to buy.

    ``need``, ``on_hand`` and ``buy`` count in ``unit``; ``buy`` is ``packs`` times ``pack``. ``cost`` is for all packs,
    ``None`` where the shop book gives no price. ``orders`` are the instruments that need the item and ``needed_by`` the
    earliest of their days.
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
    """

    item: str
    name: str
    kind: Literal["bar", "felt"]
    plan: Plan | FeltPlan
    faults: tuple[str, ...] = ()

    @property
    def proven(self) -> bool:
        """Whether the plan's cost is proven least, and the check agrees."""
        return self.plan.proven and not self.faults
