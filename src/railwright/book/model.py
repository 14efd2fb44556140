"""The shop book as values. Lengths in mm, prices in the shop's own money, moduli in GPa, densities in kg/m3."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from typing import Literal

Shape = Literal["flat", "round tube", "square tube"]
HardwareKind = Literal["foot", "crank", "shim", "station screw", "link", "lever set", "cable", "adhesive"]


@dataclass(frozen=True, slots=True)
class Carrier:
    """A bar that segments are cut from.

    ``width_mm`` lies along the strings (y), ``height_mm`` stands up (z); ``wall_mm`` is 0 for a flat.
    """

    item: str
    name: str
    shape: Shape
    width_mm: float
    height_mm: float
    wall_mm: float
    modulus_gpa: float
    density_kg_m3: float


@dataclass(frozen=True, slots=True)
class Felt:
    """A felt sheet to cut facing strips from."""

    item: str
    name: str
    thickness_mm: float
    density_kg_m3: float


@dataclass(frozen=True, slots=True)
class Hardware:
    """A small part. ``size_mm`` is a foot's height, a crank's lift, a shim leaf's thickness, a
    station screw's length under the head; 0 where none applies."""

    item: str
    name: str
    kind: HardwareKind
    size_mm: float


@dataclass(frozen=True, slots=True)
class StockLine:
    """One way to have an item: a bar length, a sheet, or a pack; or an offcut lying on the shelf.

    ``length_mm`` and ``width_mm`` are 0 where they do not apply. ``pack`` is how many ``unit`` (bars, sheets,
    pieces, mm, g) one purchase brings for ``price``; ``on_hand`` is what lies on the shelf in the same unit.
    ``price`` is ``None`` when the book gives none: such a line can be used up but not bought. An offcut is on hand
    only. ``least_packs`` is the fewest packs sold at once; from ``break_packs`` packs on each costs ``break_price``.
    Items whose lines name the same specification in ``same_as`` serve alike. Each is blank where it does not apply.
    ``row`` is the line's row on the Stock sheet that it was read from, 0 where there was none.
    """

    item: str
    length_mm: Decimal
    width_mm: Decimal
    unit: str
    pack: int
    price: Decimal | None
    on_hand: int
    offcut: bool = False
    rack: str = ""
    supplier: str = ""
    least_packs: int | None = None
    break_packs: int | None = None
    break_price: Decimal | None = None
    same_as: str = ""
    row: int = field(default=0, compare=False)


@dataclass(frozen=True)
class ShopBook:
    """Everything the shop can change. ``rules`` holds one value for every declared key.

    What is asked of catalogue and stock for every section of a week is worked out once: hence no slots.
    """

    name: str
    rules: Mapping[str, float | str]
    carriers: tuple[Carrier, ...]
    felts: tuple[Felt, ...]
    hardware: tuple[Hardware, ...]
    stock: tuple[StockLine, ...]

    def value(self, key: str) -> float:
        """Give a numeric rule value in its declared unit.

        Args:
            key: a key of the Rules sheet.

        Returns:
            The number, in the unit that the key is declared with.

        Raises:
            KeyError: no such key.
            TypeError: the key holds text.
        """
        value = self.rules[key]
        if isinstance(value, str):
            raise TypeError(f"{key} holds text, not a number")
        return value

    def text(self, key: str) -> str:
        """Give a rule value that is text, such as the size of the guide-rail screws."""
        return str(self.rules[key])

    def parts(self, kind: HardwareKind) -> tuple[Hardware, ...]:
        """List the hardware of one kind, by size and then item code."""
        return self._by_kind.get(kind, ())

    def price_per_mm(self, item: str) -> float | None:
        """Give the lowest purchase price of a bar item per millimetre; ``None`` when it cannot be bought."""
        return self._by_length.get(item)

    def price_per_mm2(self, item: str) -> float | None:
        """Give the lowest purchase price of a sheet item per square millimetre; ``None`` when it cannot be bought."""
        return self._by_area.get(item)

    def price_each(self, item: str) -> float | None:
        """Give the lowest purchase price of one unit of an item; ``None`` when it cannot be bought."""
        return self._by_piece.get(item)

    def longest_mm(self, item: str) -> float:
        """Give the greatest length in which a bar or sheet item is to be had, bought or on the shelf; 0 without any."""
        return self._longest.get(item, 0.0)

    @cached_property
    def _by_kind(self) -> dict[HardwareKind, tuple[Hardware, ...]]:
        kinds: dict[HardwareKind, tuple[Hardware, ...]] = {}
        for part in sorted(self.hardware, key=lambda part: (part.size_mm, part.item)):
            kinds[part.kind] = (*kinds.get(part.kind, ()), part)
        return kinds

    @cached_property
    def _offers(self) -> tuple[tuple[StockLine, Decimal], ...]:
        """What can be bought, with the price of one unit."""
        return tuple(
            (line, line.price / line.pack) for line in self.stock if line.price is not None and not line.offcut
        )

    @cached_property
    def _by_length(self) -> dict[str, float]:
        return _lowest((line.item, price / line.length_mm) for line, price in self._offers if line.length_mm > 0)

    @cached_property
    def _by_area(self) -> dict[str, float]:
        return _lowest(
            (line.item, price / line.length_mm / line.width_mm)
            for line, price in self._offers
            if line.length_mm * line.width_mm > 0
        )

    @cached_property
    def _by_piece(self) -> dict[str, float]:
        return _lowest((line.item, price) for line, price in self._offers)

    @cached_property
    def _longest(self) -> dict[str, float]:
        longest: dict[str, float] = {}
        for line in self.stock:
            longest[line.item] = max(longest.get(line.item, 0.0), float(line.length_mm))
        return longest


def _lowest(prices: Iterable[tuple[str, Decimal]]) -> dict[str, float]:
    """Keep the lowest price of every item."""
    lowest: dict[str, float] = {}
    for item, price in prices:
        lowest[item] = min(lowest.get(item, math.inf), float(price))
    return lowest
