"""Read the table of confirmed wires of a survey workbook: one column a section, named ``s1_wires`` to ``s6_wires``."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from railwright.reading.addresses import address, parse_range
from railwright.reading.defined_names import NameTarget
from railwright.reading.lengths import parse_length
from railwright.reading.parsed import Conventions
from railwright.reading.survey import read_survey
from railwright.reading.workbook import Workbook, read_workbook
from railwright.survey.confirmed import ConfirmedWires, wires_name
from railwright.survey.fields import MAX_SECTIONS

#: A section has no more wires than the keyboard has notes; a longer column is cut there.
MOST_WIRES = 88


def read_confirmed_wires(path: Path, relative: str) -> tuple[list[ConfirmedWires], list[str]]:
    """Read the wires that were measured at fitting.

    Args:
        path: a survey workbook.
        relative: its name in the results.

    Returns:
        The sections in which any wire is filled in, and a sentence for every cell that cannot be used; such a section
        is left out as a whole, as is every section of a sheet without unit and step.

    Raises:
        Unreadable: the file cannot be opened as a workbook.
        NotASurvey: the workbook is no survey.
    """
    survey, _ = read_survey(path, relative)
    workbook = read_workbook(path)
    targets = {name.casefold(): target for name, target in workbook.read_names().items()}
    found: list[ConfirmedWires] = []
    troubles: list[str] = []
    for section in range(1, MAX_SECTIONS + 1):
        target = targets.get(wires_name(section))
        if target is None or target.problem or not _filled(workbook, target):
            continue
        if survey.unit is None or not survey.step_mm:
            troubles.append(f"{relative}: the sheet says neither unit nor step, so its wires cannot be read.")
            break
        sheet = Conventions(survey.unit, Fraction(survey.step_mm).limit_denominator(10**6))
        wires, unusable = _wires(workbook, target, sheet, relative)
        troubles += unusable
        if not unusable and any(x is not None for x in wires):
            found.append(ConfirmedWires(relative, section, _without_blank_end(wires), survey.step_mm))
    return found, troubles


def _cells(target: NameTarget) -> Iterator[str]:
    """Go down the first column of an area."""
    area = parse_range(target.area or target.cell)
    if area is not None:
        first, column, last, _ = area
        for row in range(first, min(last, first + MOST_WIRES - 1) + 1):
            yield address(row, column)


def _filled(workbook: Workbook, target: NameTarget) -> bool:
    return any(workbook.cell(target.sheet, ref).kind != "blank" for ref in _cells(target))


def _wires(
    workbook: Workbook, target: NameTarget, sheet: Conventions, relative: str
) -> tuple[list[float | None], list[str]]:
    """Read one column; the first wire may stand at 0, and every further one beyond the one before."""
    wires: list[float | None] = []
    troubles: list[str] = []
    reached = -1.0
    for ref in _cells(target):
        parsed = parse_length(workbook.cell(target.sheet, ref), sheet, may_be_zero=True)
        x = float(parsed.value) if isinstance(parsed.value, Fraction | int | float) else None
        if parsed.problem:
            troubles.append(f"{relative}, {target.sheet}!{ref}: this is no length. {parsed.hint}".strip())
        elif x is not None and x <= reached:
            troubles.append(f"{relative}, {target.sheet}!{ref}: this wire does not lie beyond the one before.")
        elif x is not None:
            reached = x
        wires.append(x)
    return wires, troubles


def _without_blank_end(wires: list[float | None]) -> tuple[float | None, ...]:
    last = max(place for place, x in enumerate(wires) if x is not None)
    return tuple(wires[: last + 1])
