"""Defined names: which cell each stands for, or in words why it stands for none."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from lxml import etree

from railwright.reading import limits
from railwright.reading.addresses import address, parse_range
from railwright.reading.recognise import SEND_AGAIN
from railwright.reading.unreadable import Unreadable


@dataclass(frozen=True, slots=True)
class NameTarget:
    """What a defined name points at.

    ``sheet`` and ``cell`` name one cell; for a name on a merged or larger area ``cell`` is its top left one and
    ``area`` the whole. Where ``problem`` is not empty the name is of no use, and says why.
    """

    sheet: str
    cell: str
    area: str = ""
    problem: str = ""


DELETED = NameTarget("", "", "", "its cell was deleted (#REF!)")
ELSEWHERE = NameTarget("", "", "", "it points into another workbook")
NO_CELL = NameTarget("", "", "", "it is not one cell")


def read_names(root: etree._Element, ns: str, sheets: list[str]) -> dict[str, NameTarget]:
    """Read the names that hold for the whole workbook.

    A sheet that was moved in from another workbook brings its names along as names of that sheet alone; such a name
    is taken where only one sheet has it and the workbook does not.

    Args:
        root: Root of the workbook part.
        ns: Namespace in braces.
        sheets: The sheet names, to find the sheet that a name means whatever its capitals.

    Returns:
        The targets by name.

    Raises:
        Unreadable: If there are more names than any workbook needs.
    """
    elements = root.findall(f"{ns}definedNames/{ns}definedName")
    if len(elements) > limits.MAX_NAMES:
        raise Unreadable(f"The workbook defines {len(elements)} names, which a survey never does.", SEND_AGAIN)
    by_folded = {sheet.casefold(): sheet for sheet in sheets}
    wide: dict[str, NameTarget] = {}
    local: dict[str, list[NameTarget]] = {}
    for element in elements:
        target = read_target(element.text or "", by_folded)
        name = element.get("name", "")
        if element.get("localSheetId") is None:
            wide[name] = target
        else:
            local.setdefault(name, []).append(target)
    moved = {name: targets[0] for name, targets in local.items() if len(targets) == 1}
    return moved | wide


def read_target(formula: str, sheets: dict[str, str]) -> NameTarget:
    """Read what one name refers to.

    Args:
        formula: Such as ``'S 1'!$B$3``.
        sheets: The sheet names by their case-folded form.

    Returns:
        The cell, or the reason why there is none.
    """
    target = _parse(formula)
    found = sheets.get(target.sheet.casefold())
    if target.problem or found == target.sheet:
        return target
    if found is None:
        return NameTarget("", "", "", f"its sheet {target.sheet!r} is missing")
    return replace(target, sheet=found)


# The names of a survey refer to the same cells in every file of a run.
@lru_cache(maxsize=4096)
def _parse(formula: str) -> NameTarget:
    text = formula.strip().removeprefix("=")
    if "#REF!" in text.upper():
        return DELETED
    sheet, cell = _split(text)
    if "[" in sheet:
        return ELSEWHERE
    area = parse_range(cell)
    if not sheet or area is None:
        return NO_CELL
    whole = f"{address(*area[:2])}:{address(*area[2:])}" if area[:2] != area[2:] else ""
    return NameTarget(sheet, address(*area[:2]), whole)


def _split(text: str) -> tuple[str, str]:
    """Part a reference into sheet and cells; a quote mark inside a quoted sheet name is doubled."""
    if not text.startswith("'"):
        sheet, _, cell = text.rpartition("!")
        # None of these signs stands in a sheet name without quotes: this is a formula, or several areas.
        return ("", cell) if any(sign in sheet for sign in ",;:(){}!'\"&+*/^<>=") else (sheet, cell)
    sheet, _, cell = text[1:].rpartition("'!")
    return ("", cell) if "'" in sheet.replace("''", "") else (sheet.replace("''", "'"), cell)
