"""Which side of the wires a segment lies on, and the notches that the front side asks for."""

from __future__ import annotations

from dataclasses import dataclass

from railwright.computing.results import Side


@dataclass(frozen=True, slots=True)
class SideRoom:
    """What stands around the wires of one section, mm.

    ``rear_mm`` and ``front_mm`` are the free ledges, with what a default adds in doubt at 95 % (0 where they were
    read); ``notches_mm`` has the depth of every notch that a front segment needs, with its doubt likewise.
    """

    strut: bool
    rear_mm: float
    rear_doubt_mm: float
    front_mm: float
    front_doubt_mm: float
    notches_mm: tuple[float, ...] = ()
    notch_doubts_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class SideChoice:
    """The side a carrier takes; ``None`` where it fits on neither, and whether only a default's doubt is in the way."""

    side: Side | None
    sure: bool
    reason: str = ""


def choose_side(width_mm: float, clearance_mm: float, room: SideRoom) -> SideChoice:
    """Choose the side for a carrier: behind the wires where it can lie there, else in front.

    Args:
        width_mm: carrier width b, mm.
        clearance_mm: clearance between carrier and wires, mm.
        room: ledges, strut and notches.

    Returns:
        The side; where there is none, ``reason`` says what stands in the way of the front: ``ledge`` or ``notch``.
    """
    need = width_mm + clearance_mm
    if not room.strut and room.rear_mm >= need:
        return SideChoice("rear", room.rear_mm - room.rear_doubt_mm >= need)
    if room.front_mm < need:
        return SideChoice(None, False, "ledge")
    if any(depth > width_mm / 2 for depth in room.notches_mm):
        return SideChoice(None, False, "notch")
    doubtful = zip(room.notches_mm, room.notch_doubts_mm, strict=True)
    sure = all(depth + doubt <= width_mm / 2 for depth, doubt in doubtful)
    return SideChoice("front", sure and room.front_mm - room.front_doubt_mm >= need)
