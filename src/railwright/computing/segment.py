"""One section made ready for the choice of parts: everything about it that no catalogue item changes.

x counts along the damper line as in the results; the strings keep their places there, and a segment that lies behind or
in front of the wires is reckoned by moving its stations instead (a line y_c behind the wires meets every string
y_c cot theta further on).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing import readings
from railwright.computing.heights import Heights, heights_of, highest_stack
from railwright.computing.loads import even_positions, press_per_string, string_positions, strings_of
from railwright.computing.notes_of_sections import SectionNotes
from railwright.computing.results import Array, Conflict, DefaultUsed, Spacing
from railwright.computing.screws import head_diameter
from railwright.computing.side import SideRoom
from railwright.computing.spacing import in_a_row
from railwright.computing.stations import (
    FootRoom,
    Places,
    ScrewPlace,
    gap_places,
    joined,
    rail_places,
    screw_places,
)
from railwright.survey.records import SectionSurvey, Survey

Unit = Literal["in", "mm"]

_ENDS: tuple[readings.End, readings.End] = ("low", "high")


@dataclass(frozen=True, slots=True)
class Levelling:
    """The line that the shims follow: ``slope`` mm per mm from the string at ``from_mm``, where the gap is ``gap_mm``.

    ``tilt_mm`` is what the gap at rest differs by between the ends, ``shimmed_mm`` how much of it shims can level.
    """

    slope: float
    from_mm: float
    gap_mm: float
    tilt_mm: float
    shimmed_mm: float
    step_mm: float

    def line(self, x_mm: Array) -> Array:
        """Height of the line above its lowest string, mm."""
        return self.slope * (x_mm - self.from_mm)

    def steps(self, x_mm: Array) -> Array:
        """Shim nearest to the line in whole steps, ties up, mm."""
        steps: Array = np.floor(self.line(x_mm) / self.step_mm + 0.5 + 1e-9)
        rounded: Array = steps * self.step_mm
        return rounded

    @property
    def rounding_mm(self) -> float:
        """What rounding to a step may add to the lowered stack, mm: half a step, nothing where all shims are alike."""
        return self.step_mm / 2 if self.slope else 0.0


@dataclass(frozen=True, slots=True)
class Ends:
    """How far the segment stands out beyond the outer heads (or strings), mm, with the room for it; ``None`` unread."""

    out_low_mm: float
    out_high_mm: float
    room_low_mm: float | None
    room_high_mm: float | None


@dataclass(frozen=True, slots=True)
class Segment:
    """Everything about one section's segment that no catalogue item changes. Lengths mm, forces N, angle degrees."""

    section: SectionSurvey
    first_note: int
    theta_deg: float
    u_theta_deg: float
    spacing: Spacing | None
    strings: Array
    counts: tuple[int, ...]
    forces: Array
    span_mm: float
    ends: Ends
    heights: Heights
    levelling: Levelling
    places: Places
    screws: tuple[ScrewPlace, ...]
    side_room: SideRoom
    wire_mm: float
    unit: Unit
    defaults: tuple[DefaultUsed, ...]
    conflicts: tuple[Conflict, ...]

    @property
    def reach_measured(self) -> bool:
        """Whether the length to cover is a reach over undamped notes that was measured."""
        beyond = self.spacing is not None and self.strings.size > self.spacing.x_mm.size
        return beyond and all(default.field != "top_reach" for default in self.defaults)

    @property
    def start_mm(self) -> float:
        """Bass end of the segment along the damper line, mm."""
        return -self.ends.out_low_mm

    @property
    def end_mm(self) -> float:
        """Treble end of the segment along the damper line, mm."""
        return self.span_mm + self.ends.out_high_mm

    def rests_like(self, other: Segment) -> bool:
        """Say whether the gaps at rest of the same segment under other heights are the same."""
        ends = (self.heights.low, other.heights.low), (self.heights.high, other.heights.high)
        return self.levelling == other.levelling and all(one.rest_mm == two.rest_mm for one, two in ends)

    def share(self, x_mm: Array) -> Array:
        """Say how far from the first string (0) to the last (1)."""
        way: Array = (x_mm - self.strings[0]) / (self.strings[-1] - self.strings[0])
        return way


def segment_of(
    section: SectionSurvey, notes: SectionNotes, spacing: Spacing | None, top: bool, survey: Survey, book: ShopBook
) -> Segment | None:
    """Make one section ready for the choice of parts.

    Args:
        section: its readings.
        notes: its notes.
        spacing: where its wires stand; ``None`` in a section without dampers.
        top: whether it is the top damped section, over which the reach was measured.
        survey: readings of the instrument.
        book: rule values.

    Returns:
        The segment; ``None`` where a reading that it needs is missing or makes no sense (the checks say which).
    """
    angle, heights = readings.theta(section, book), heights_of(section, survey, book)
    if angle is None or heights is None or not 0.0 < angle[0] < 180.0 or notes.first_note is None or not notes.notes:
        return None
    if section.span_mm is None or section.strut is None:
        return None
    if section.dampers != 0 and (spacing is None or section.screws is None):
        return None
    strings, span, reach_default = _strings(section, notes.notes, spacing, top, survey, book)
    if strings.size < 2 or not in_a_row(strings, span):
        return None
    counts, count_defaults = strings_of(section, notes.notes, book)
    ends, end_conflicts = _ends(section, book)
    wire = readings.wire_diameter(survey, book)
    places, screws = _places(section, spacing, strings, span, wire.value, book)
    room, room_defaults = _side_room(section, survey, book)
    return Segment(
        section=section,
        first_note=notes.first_note,
        theta_deg=angle[0],
        u_theta_deg=angle[1],
        spacing=spacing,
        strings=strings,
        counts=counts,
        forces=np.array(counts, dtype=float) * press_per_string(section, book),
        span_mm=span,
        ends=ends,
        heights=heights,
        levelling=levelling_of(heights, strings, book),
        places=places,
        screws=screws,
        side_room=room,
        wire_mm=wire.value,
        unit=survey.unit or "mm",
        defaults=tuple(d for d in (reach_default, *count_defaults, *room_defaults, wire.default) if d is not None),
        conflicts=end_conflicts,
    )


def reach_of(
    section: SectionSurvey, spacing: Spacing, undamped: int, top: bool, survey: Survey
) -> tuple[float, DefaultUsed | None]:
    """Where the last string stands: as measured, else the span and the pitch for every note above the last damper.

    Args:
        section: a section with dampers and a span.
        spacing: its wires.
        undamped: its notes above the last damper.
        top: whether the measured reach is this section's.
        survey: gives the measured reach.

    Returns:
        The reach, mm, and the default used, if one was.
    """
    assert section.span_mm is not None
    if top and survey.top_reach_mm is not None:
        return survey.top_reach_mm, None
    reach = section.span_mm + undamped * spacing.pitch_mm
    return reach, DefaultUsed("top_reach", "span + remaining notes x pitch", round(reach, 1), "mm")


def levelling_of(heights: Heights, strings: Array, book: ShopBook) -> Levelling:
    """Find the line that levels the gap at rest from the first to the last string, as far as shims reach."""
    low, high = heights.low.rest_mm, heights.high.rest_mm
    tilt, most = high - low, book.value("shim_max")
    shimmed = min(max(tilt, -most), most)
    slope = shimmed / float(strings[-1] - strings[0])
    origin, gap = (strings[0], low) if tilt >= 0.0 else (strings[-1], high)
    return Levelling(slope, float(origin), gap, tilt, shimmed, book.value("shim_step"))


def with_heights(segment: Segment, heights: Heights, book: ShopBook) -> Segment:
    """Give the same segment under other heights, levelled anew."""
    return replace(segment, heights=heights, levelling=levelling_of(heights, segment.strings, book))


def tightest(segment: Segment, clearance_mm: float, z_p: float) -> tuple[float, float]:
    """Highest untilted stack that may lie under all strings and both ends, and where it is tightest, mm."""
    x = np.concatenate([[segment.start_mm], segment.strings, [segment.end_mm]])
    share = segment.share(x)
    cap = (
        highest_stack_at(segment, share, clearance_mm, z_p) - segment.levelling.line(x) - segment.levelling.rounding_mm
    )
    place = int(cap.argmin())
    return float(cap[place]), float(x[place])


def highest_stack_at(segment: Segment, share: Array, clearance_mm: float, z_p: float) -> Array:
    """Highest stack at shares of the way from the first string to the last, mm."""
    free, u = segment.heights.free(share), segment.heights.u_free(share)
    return highest_stack(free, u, clearance_mm, z_p)


def _strings(
    section: SectionSurvey, notes: int, spacing: Spacing | None, top: bool, survey: Survey, book: ShopBook
) -> tuple[Array, float, DefaultUsed | None]:
    """Positions of the notes, the length to cover, and the default that the reach came from."""
    assert section.span_mm is not None
    if spacing is None:
        return even_positions(notes, section.span_mm), section.span_mm, None
    undamped = max(notes - spacing.x_mm.size, 0)
    if undamped == 0:
        return spacing.x_mm, section.span_mm, None
    reach, used = reach_of(section, spacing, undamped, top, survey)
    return string_positions(spacing.x_mm, undamped, reach), reach, used


def _ends(section: SectionSurvey, book: ShopBook) -> tuple[Ends, tuple[Conflict, ...]]:
    """Shorten the overhang at each end to the room that was read; less than none is a conflict."""
    outs: dict[str, float] = {}
    conflicts: list[Conflict] = []
    for end, room in (("low", section.room_low_mm), ("high", section.room_high_mm)):
        overhang, clearance = book.value("overhang"), book.value("plate_clearance")
        spare = overhang if room is None else room - clearance
        outs[end] = max(min(overhang, spare), 0.0)
        if spare < 0.0 and room is not None:
            facts: Mapping[str, float | int | str] = {"end": end, "room_mm": room, "clearance_mm": clearance}
            conflicts.append(Conflict("end_without_room", section.number, section.key(f"room_{end}"), facts))
    return Ends(outs["low"], outs["high"], section.room_low_mm, section.room_high_mm), tuple(conflicts)


def foot_room(wire_mm: float, book: ShopBook) -> FootRoom:
    """Collect what a foot needs beside a wire."""
    return FootRoom(book.value("foot_width"), wire_mm, book.value("wire_clearance"), book.value("station_slot"))


def _places(
    section: SectionSurvey, spacing: Spacing | None, strings: Array, span: float, wire_mm: float, book: ShopBook
) -> tuple[Places, tuple[ScrewPlace, ...]]:
    """Places for stations between the wires and on the continued rail, and the guide-rail screws."""
    room = foot_room(wire_mm, book)
    until = span - room.foot_mm / 2
    if spacing is None:
        return rail_places(strings, strings[0] + room.foot_mm / 2, until, ()), ()
    screws = screw_places(spacing, section.screws or ())
    between = gap_places(spacing, room, screws)
    heads = spacing.x_mm.size
    if strings.size == heads:
        return between, screws
    after = float(spacing.x_mm[-1] + room.from_wire(spacing.u95_mm[-1:])[0])
    keep_off = [(screw.x_mm, _screw_half(screw, room, book)) for screw in screws if screw.heads_above == 0]
    return joined(between, rail_places(strings[heads - 1 :], after, until, keep_off)), screws


def _screw_half(screw: ScrewPlace, room: FootRoom, book: ShopBook) -> float:
    """Least distance from a foot's middle to a screw's middle on the continued rail, mm."""
    head = head_diameter(book.text("guide_screw"))
    doubt = max(1.96 * screw.u_mm - room.slot_mm, 0.0)
    return room.foot_mm / 2 + head / 2 + book.value("screw_clearance") + doubt


def _side_room(section: SectionSurvey, survey: Survey, book: ShopBook) -> tuple[SideRoom, tuple[DefaultUsed, ...]]:
    """Ledges and notches; only what a default stands in for is in doubt."""
    z_p = book.value("z_p")
    rear, front = readings.ledge_rear(survey, book), readings.ledge_front(survey, book)
    offsets = [readings.hole_offset(section, end, survey, book) for end in _ENDS]
    out = [offset for offset in offsets if offset.value > 0.0]
    doubts = [z_p * value.u if value.default else 0.0 for value in (rear, front, *out)]
    room = SideRoom(
        section.strut is True,
        rear.value,
        doubts[0],
        front.value,
        doubts[1],
        tuple(offset.value for offset in out),
        tuple(doubts[2:]),
    )
    return room, tuple(value.default for value in (rear, front, *offsets) if value.default is not None)
