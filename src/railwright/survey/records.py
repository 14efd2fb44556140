"""The survey as values: what was answered where, and the typed record that computing works on.

Lengths are millimetres, angles degrees, whatever the technician wrote; ``None`` is a blank or an answer that could
not be read.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from railwright.survey.designs import KindMemory
from railwright.survey.fields import Field
from railwright.survey.pickling import quickly_pickled

Register = Literal["bass", "tenor", "treble"]


@quickly_pickled
@dataclass(frozen=True, slots=True)
class Answer:
    """What stands in one survey cell.

    ``text`` is the cell as a person sees it. ``value`` is the answer in millimetres, degrees, a count, a truth value,
    a date, a tuple of counts or text; ``None`` when blank or unreadable. ``problem`` names the cell rule that explains
    an unreadable answer and ``hint`` adds what is known of the cause (for example both readings of a date).
    ``step_mm`` is the reading step where the way the answer is written shows one (``8/32``).
    """

    field: Field
    sheet: str
    cell: str
    text: str = ""
    value: object | None = None
    problem: str | None = None
    hint: str = ""
    step_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionSurvey:
    """One section's readings. ``number`` counts from 1 at the bass; ``dampers`` may be 0 beyond the last damper."""

    number: int
    register: Register | None = None
    dampers: int | None = None
    notes: int | None = None
    span_mm: float | None = None
    run_mm: float | None = None
    run_end_mm: float | None = None
    angle_1_deg: float | None = None
    angle_2_deg: float | None = None
    strut: bool | None = None
    hole_low: bool | None = None
    hole_high: bool | None = None
    hole_offset_low_mm: float | None = None
    hole_offset_high_mm: float | None = None
    screws: tuple[int, ...] | None = None
    gauge_low_mm: float | None = None
    gauge_high_mm: float | None = None
    rest_low_mm: float | None = None
    rest_high_mm: float | None = None
    singles: int | None = None
    doubles: int | None = None
    room_low_mm: float | None = None
    room_high_mm: float | None = None
    gap_next_mm: float | None = None

    def key(self, name: str) -> str:
        """Give the full field key of one of this section's readings, for example ``span`` -> ``s2_span``."""
        return f"s{self.number}_{name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """One instrument's survey. ``file`` is the path relative to the input folder, with forward slashes.

    ``step_mm`` is the smallest step read on the whole sheet; ``steps_mm`` overrides it for single fields that were
    written finer. ``answers`` keeps every cell with its address and text. ``kind`` is not read from the workbook: it
    is what earlier surveys of the same maker and model tell, ``None`` where they tell nothing.
    """

    file: str
    order_no: str | None = None
    site: str | None = None
    technician: str | None = None
    survey_date: date | None = None
    needed_by: date | None = None
    maker: str | None = None
    model: str | None = None
    serial: str | None = None
    unit: Literal["in", "mm"] | None = None
    step_mm: float | None = None
    head_width_mm: float | None = None
    wire_diameter_mm: float | None = None
    ledge_front_mm: float | None = None
    ledge_rear_mm: float | None = None
    top_reach_mm: float | None = None
    cable_run_mm: float | None = None
    remarks: str | None = None
    sections: tuple[SectionSurvey, ...] = ()
    steps_mm: Mapping[str, float] = field(default_factory=dict)
    answers: Mapping[str, Answer] = field(default_factory=dict)
    kind: KindMemory | None = None

    def step_of(self, key: str) -> float:
        """Give the reading step of one field in mm; the sheet's step unless the answer was written finer."""
        return self.steps_mm.get(key, self.step_mm if self.step_mm is not None else 0.0)


def section_of(survey: Survey, key: str) -> SectionSurvey | None:
    """Find the section that a full field key belongs to; ``None`` for an instrument's field or an unused section."""
    return next((section for section in survey.sections if key.startswith(f"s{section.number}_")), None)
