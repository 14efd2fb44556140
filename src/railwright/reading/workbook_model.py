"""What a workbook is, whichever format its file has."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, Protocol

from railwright.reading.addresses import parse_range
from railwright.reading.defined_names import NO_CELL, NameTarget
from railwright.reading.package import Package
from railwright.reading.sheet import CellValue


@dataclass(frozen=True, slots=True)
class SheetEntry:
    """One sheet of the list at the bottom of the window: its name, its part, and whether it can be seen."""

    name: str
    part: str
    state: Literal["visible", "hidden"]


class SheetCells(Protocol):
    """The cells of one sheet."""

    @property
    def merges(self) -> list[tuple[int, int, int, int]]:
        """Merged areas as first row, first column, last row, last column."""

    def cell(self, ref: str) -> CellValue:
        """Give the content of one cell; inside a merged area that of the area's top left cell."""

    def cells(self) -> Iterator[tuple[str, CellValue]]:
        """Go through the cells that are not blank, row by row."""


class Workbook(ABC):
    """An open workbook; sheets are understood when a cell of theirs is asked for first.

    Attributes:
        package: The open file.
        part: The part that lists the sheets.
        sheets: The sheets with cells, in their order.
        system_1904: Whether raw date numbers count from 1904 instead of 1900.
    """

    package: Package
    part: str
    sheets: list[SheetEntry]
    system_1904: bool

    @cached_property
    def names(self) -> dict[str, NameTarget]:
        """The defined names of the whole workbook, each with its cell or the reason why it has none."""
        return {name: self._one_cell(target) for name, target in self._targets.items()}

    def named(self, name: str) -> NameTarget | None:
        """Give what one defined name stands for, without a look at the others; ``None`` where there is no such name."""
        target = self._targets.get(name)
        return None if target is None else self._one_cell(target)

    @cached_property
    def _targets(self) -> dict[str, NameTarget]:
        return self.read_names()

    def _one_cell(self, target: NameTarget) -> NameTarget:
        """Accept a name on an area only where that area is one merged cell."""
        if not target.area or target.problem or parse_range(target.area) in self._merges_of(target.sheet):
            return target
        return NO_CELL

    def _merges_of(self, sheet: str) -> frozenset[tuple[int, int, int, int]]:
        if sheet not in self._areas:
            self._areas[sheet] = frozenset(self.merges(sheet))
        return self._areas[sheet]

    @cached_property
    def _areas(self) -> dict[str, frozenset[tuple[int, int, int, int]]]:
        return {}

    def cell(self, sheet: str, ref: str) -> CellValue:
        """Give the content of one cell.

        Args:
            sheet: Name of the sheet, as in ``sheets``.
            ref: Address such as ``B3``.

        Returns:
            The content; blank for a cell that was never written.

        Raises:
            Unreadable: If the sheet is damaged or far too large.
        """
        return self.sheet(sheet).cell(ref)

    def cells(self, sheet: str) -> Iterator[tuple[str, CellValue]]:
        """Go through the cells of a sheet that are not blank, row by row, as address and content."""
        return self.sheet(sheet).cells()

    def merges(self, sheet: str) -> list[tuple[int, int, int, int]]:
        """List the merged areas of a sheet, each as first row, first column, last row, last column."""
        return self.sheet(sheet).merges

    @abstractmethod
    def sheet(self, name: str) -> SheetCells:
        """Give the cells of a sheet by its name, as in ``sheets``."""

    @abstractmethod
    def read_names(self) -> dict[str, NameTarget]:
        """Read the defined names, areas included."""
