"""The catalogue that comes with the tool: invented item codes and prices, real sizes and material data.

Moduli and densities of 6063 and 6061 aluminium, C36000 brass and 304 stainless steel are data-sheet values (68.9 GPa
and 2700 kg/m3, 97 GPa and 8490 kg/m3, 193 GPa and 8000 kg/m3). Prices and codes are invented.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from railwright.book.model import Carrier, Felt, Hardware, HardwareKind, ShopBook, StockLine
from railwright.book.parameters import default_rules

DEFAULT_NAME = "default"
_ALUMINIUM = (68.9, 2700.0)
_STEEL = (193.0, 8000.0)

CARRIERS = (
    Carrier("RC-F15", "flat 12 x 1.5, stainless", "flat", 12.0, 1.5, 0.0, *_STEEL),
    Carrier("RC-F20", "flat 12 x 2, stainless", "flat", 12.0, 2.0, 0.0, *_STEEL),
    Carrier("RC-F30", "flat 12 x 3, aluminium", "flat", 12.0, 3.0, 0.0, *_ALUMINIUM),
    Carrier("RC-S06", "square tube 6 x 6 x 1, aluminium", "square tube", 6.0, 6.0, 1.0, *_ALUMINIUM),
    Carrier("RC-S08", "square tube 8 x 8 x 1, aluminium", "square tube", 8.0, 8.0, 1.0, *_ALUMINIUM),
    Carrier("RC-S10", "square tube 10 x 10 x 1, aluminium", "square tube", 10.0, 10.0, 1.0, *_ALUMINIUM),
    Carrier("RC-R08", "round tube 8 x 1, aluminium", "round tube", 8.0, 8.0, 1.0, *_ALUMINIUM),
)

FELTS = (
    Felt("FE-20", "felt 2 mm, firm", 2.0, 340.0),
    Felt("FE-30", "felt 3 mm, firm", 3.0, 340.0),
    Felt("FE-40", "felt 4 mm, medium", 4.0, 260.0),
)


def _parts(kind: HardwareKind, rows: tuple[tuple[str, str, float], ...]) -> tuple[Hardware, ...]:
    return tuple(Hardware(item, name, kind, size) for item, name, size in rows)


#: Lengths beside the usual 5 mm one, close enough that one always holds in a thin flat without reaching the felt.
_SCREWS = (2, 2.5, 3, 4, 6, 7, 8, 9, 10, 11, 12)
_CRANK_LIFTS = [half / 2 for half in range(2, 33)]

HARDWARE = (
    _parts(
        "foot",
        (("HF-10", "foot, low, 1 mm", 1.0), ("HF-30", "foot, middle, 3 mm", 3.0), ("HF-50", "foot, tall, 5 mm", 5.0)),
    )
    + _parts("crank", tuple((f"HK-{lift * 10:03.0f}", f"crank, lift {lift:g} mm", lift) for lift in _CRANK_LIFTS))
    + _parts(
        "shim",
        (
            ("HS-01", "shim leaf 0.1 mm", 0.1),
            ("HS-02", "shim leaf 0.2 mm", 0.2),
            ("HS-05", "shim leaf 0.5 mm", 0.5),
            ("HS-10", "shim leaf 1 mm", 1.0),
        ),
    )
    + _parts("station screw", tuple((f"HW-M2-{length}", f"station screw M2 x {length}", length) for length in _SCREWS))
    + _parts("station screw", (("HW-M2", "station screw M2 x 5", 5.0), ("HW-M2B", "station screw M2 x 5, boxed", 5.0)))
    + _parts("link", (("HL-01", "link across a strut, threaded", 0.0),))
    + _parts("lever set", (("HV-01", "hand lever with bracket", 0.0),))
    + _parts("cable", (("HC-01", "cable with sleeve, cut to length", 0.0),))
    + _parts("adhesive", (("HA-01", "felt adhesive", 0.0),))
)


def _bar(item: str, length: int, price: str, on_hand: int = 0) -> StockLine:
    return StockLine(item, Decimal(length), Decimal(0), "bar", 1, Decimal(price), on_hand, supplier="metals")


def _offcut(item: str, length: str, rack: str) -> StockLine:
    return StockLine(item, Decimal(length), Decimal(0), "bar", 1, None, 1, offcut=True, rack=rack)


def _sheet(item: str, length: int, width: int, price: str, on_hand: int = 0) -> StockLine:
    return StockLine(item, Decimal(length), Decimal(width), "sheet", 1, Decimal(price), on_hand, supplier="felt")


def _pack(item: str, unit: str, pack: int, price: str, on_hand: int = 0) -> StockLine:
    return StockLine(item, Decimal(0), Decimal(0), unit, pack, Decimal(price), on_hand, supplier="hardware")


_SCREW = "screw M2 x 5"

STOCK = (
    _bar("RC-F15", 2000, "9.80"),
    _bar("RC-F20", 2000, "12.40"),
    _bar("RC-F30", 2000, "7.60"),
    _bar("RC-S06", 2500, "8.90"),
    _bar("RC-S08", 2500, "10.50", 1),
    _bar("RC-S08", 3000, "12.20"),
    _bar("RC-S10", 2500, "12.90"),
    _bar("RC-R08", 2500, "9.70"),
    _offcut("RC-S08", "486.5", "B2"),
    _offcut("RC-F15", "402", "B4"),
    _sheet("FE-20", 1200, 500, "31.00"),
    _sheet("FE-30", 1200, 500, "38.00"),
    _sheet("FE-40", 1200, 500, "42.00"),
    _pack("HF-10", "pieces", 20, "14.00"),
    _pack("HF-30", "pieces", 20, "15.00", 12),
    _pack("HF-50", "pieces", 20, "16.00"),
    *(_pack(f"HK-{lift * 10:03.0f}", "pieces", 1, "3.40") for lift in _CRANK_LIFTS),
    replace(_pack("HS-01", "pieces", 50, "4.00"), break_packs=10, break_price=Decimal("3.60")),
    _pack("HS-02", "pieces", 50, "4.00"),
    _pack("HS-05", "pieces", 50, "4.50"),
    _pack("HS-10", "pieces", 50, "5.00"),
    *(_pack(f"HW-M2-{length}", "pieces", 100, "6.50") for length in _SCREWS),
    replace(_pack("HW-M2", "pieces", 100, "6.50", 40), same_as=_SCREW),
    replace(_pack("HW-M2B", "pieces", 250, "16.30"), least_packs=2, same_as=_SCREW),
    _pack("HL-01", "pieces", 5, "11.00"),
    _pack("HV-01", "pieces", 1, "29.00"),
    _pack("HC-01", "mm", 10000, "18.00", 2500),
    _pack("HA-01", "g", 250, "9.00"),
)


def default_shop_book() -> ShopBook:
    """Give the shop book that is used when a run names none."""
    return ShopBook(DEFAULT_NAME, default_rules(), CARRIERS, FELTS, HARDWARE, STOCK)
