"""Measure a true piano as a technician would: set a tape with a small error, read it to the nearest mark.

A length is the nearest mark to what the tape shows, and the tape is set with a normal error of 0.4 mm. An angle is
set within half a degree and read to one degree. A gauge block is tried from the thickest down in steps of 1/16 in;
the one that the swinging string just clears is written down. Every error comes from one seed and the name of the
reading, so a week of readings is the same each time. With honest luck about one sound section in sixty looks
contradictory; the seed is the first of "week 1", "week 2" and so on in which none does, so that only what was planted
can be found.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from fractions import Fraction

from true_pianos import TruePiano, TrueSection, free_mm, normal

SEED = "week 5"
SETTING_MM = 0.4
SETTING_DEG = 0.5
INCH = Fraction(127, 5)
BLOCK_IN = Fraction(1, 16)


@dataclass(frozen=True)
class Length:
    """A reading of length: a whole number of marks, in the unit that it was read in."""

    value: Fraction
    unit: str


Reading = Length | int | float | str | bool | None


def measure(piano: TruePiano, seed: str = SEED) -> dict[str, Reading]:
    """Take every reading of an instrument, optional ones included.

    Args:
        piano: the true instrument.
        seed: another seed gives another technician's luck.

    Returns:
        Readings by field key.
    """
    tape = Tape(piano, seed)
    readings: dict[str, Reading] = {
        "head_width": tape.length("head_width", piano.head_width_mm),
        "wire_diameter": Length(Fraction(round(piano.wire_diameter_mm * 10), 10), "mm"),
        "ledge_front": tape.length("ledge_front", piano.ledge_front_mm),
        "ledge_rear": tape.length("ledge_rear", piano.ledge_rear_mm),
        "top_reach": tape.length("top_reach", piano.last_string_mm(piano.top)),
        "cable_run": tape.length("cable_run", piano.cable_run_mm),
    }
    for number in range(1, len(piano.sections) + 1):
        readings |= _section(piano, number, tape)
    return readings


@dataclass(frozen=True)
class Tape:
    """The tape and gauges of one visit."""

    piano: TruePiano
    seed: str

    @property
    def step(self) -> Fraction:
        """Smallest mark in the unit of the readings."""
        return Fraction(self.piano.step)

    def length(self, key: str, true_mm: float) -> Length:
        """Read a length to the nearest mark; halves go up."""
        shown = true_mm + SETTING_MM * self._error(key)
        mark_mm = float(self.step * (INCH if self.piano.unit == "in" else 1))
        return Length(math.floor(shown / mark_mm + 0.5) * self.step, self.piano.unit)

    def angle(self, key: str, true_deg: float) -> int:
        """Read an angle to one degree."""
        return math.floor(true_deg + SETTING_DEG * self._error(key) + 0.5)

    def _error(self, key: str) -> float:
        return normal(random.Random(f"{self.seed}/{self.piano.luck}/{key}"))


def clear_block(free: float) -> Length:
    """Find the thickest gauge block that passes where so much is free, mm."""
    return Length(math.floor(free / float(BLOCK_IN * INCH)) * BLOCK_IN, "in")


def first_head_of_run(heads: int, register: str) -> int:
    """Where a run of seven spaces starts: in the middle, in a treble section at its treble end."""
    return heads - 7 if register == "treble" else (heads - 8) // 2 + 1


def first_head_of_second_run(heads: int, register: str) -> int:
    """Where a second run starts: at the treble end, in a treble section at the bass end."""
    return 1 if register == "treble" else heads - 7


def run_mm(piano: TruePiano, number: int, first: int, spaces: int = 7) -> float:
    """True length of a run of so many spaces from head ``first``."""
    wires = piano.wires_mm(number)
    return wires[first - 1 + spaces] - wires[first - 1]


def _section(piano: TruePiano, number: int, tape: Tape) -> dict[str, Reading]:
    section = piano.sections[number - 1]
    found = _counts(section) | _heights(section, number, tape) | _runs(piano, number, tape)
    found |= {
        "span": tape.length(f"s{number}_span", piano.span_mm(number)),
        "angle_1": tape.angle(f"s{number}_angle_1", section.theta_deg),
        "angle_2": tape.angle(f"s{number}_angle_2", section.theta_deg),
        "room_low": tape.length(f"s{number}_room_low", section.room_mm[0]),
        "room_high": tape.length(f"s{number}_room_high", section.room_mm[1]),
    }
    if number < len(piano.sections):
        found["gap_next"] = tape.length(f"s{number}_gap_next", section.gap_next_mm)
    for end, offset in zip(("low", "high"), section.hole_mm, strict=True):
        found[f"hole_{end}"] = offset > 0
        if offset:
            found[f"hole_offset_{end}"] = tape.length(f"s{number}_hole_offset_{end}", offset)
    return {f"s{number}_{key}": reading for key, reading in found.items()}


def _counts(section: TrueSection) -> dict[str, Reading]:
    found: dict[str, Reading] = {
        "register": section.register,
        "dampers": section.dampers,
        "strut": section.strut,
        "singles": section.singles,
        "doubles": section.doubles,
    }
    if section.undamped:
        found["notes"] = section.notes
    if section.dampers:
        found["screws"] = "; ".join(str(heads) for heads in section.screws) or "none"
    return found


def _heights(section: TrueSection, number: int, tape: Tape) -> dict[str, Reading]:
    found: dict[str, Reading] = {}
    for end, rest, free in zip(("low", "high"), section.rest_mm, free_mm(section), strict=True):
        found[f"rest_{end}"] = tape.length(f"s{number}_rest_{end}", rest)
        if section.gauged:
            found[f"gauge_{end}"] = clear_block(free)
    return found


def _runs(piano: TruePiano, number: int, tape: Tape) -> dict[str, Reading]:
    section = piano.sections[number - 1]
    if section.dampers < 8:
        return {}
    found: dict[str, Reading] = {}
    for key, start in (("run", first_head_of_run), ("run_end", first_head_of_second_run)):
        first = start(section.dampers, section.register)
        found[key] = tape.length(f"s{number}_{key}", run_mm(piano, number, first))
    return found
