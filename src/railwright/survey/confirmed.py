"""Wires as they were measured at fitting: the truth that surveys are compared with afterwards."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ConfirmedWires:
    """Wire positions of one section of one workbook, mm from any origin, from the bass; ``None`` where one is blank.

    ``step_mm`` is the step that they were read to.
    """

    file: str
    section: int
    x_mm: tuple[float | None, ...]
    step_mm: float


def wires_name(section: int) -> str:
    """Give the defined name of a section's column of confirmed wires, such as ``s2_wires``."""
    return f"s{section}_wires"
