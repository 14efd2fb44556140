"""What a drawing of one segment is made from, and its geometry: corners, ends, heights along it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.heights import Heights, heights_of
from railwright.computing.results import CarrierCut, FeltCut, Relief, SectionResult, Spacing, Station
from railwright.survey.notes import FIRST_NOTE, LAST_NOTE, note_words
from railwright.survey.records import Survey
from railwright.writing.drawings.primitives import Point
from railwright.writing.numbers import fixed


@dataclass(frozen=True, slots=True, eq=False)
class SegmentCase:
    """One segment that was sized, with what else its drawing shows; equal to itself only, as its drawings are kept.

    ``foot_width_mm`` and ``slot_mm`` are the shop's; ``heights`` the free heights and gaps at rest, if they are known.
    ``made`` says that the segment is in the cutting list of the run; the drawing of any other carries a warning, and so
    does one that is made while a reading of its instrument is ``in_doubt``.
    """

    survey: Survey
    section: SectionResult
    carrier: CarrierCut
    felt: FeltCut
    heights: Heights | None
    foot_width_mm: float
    slot_mm: float
    wire_mm: float
    book: ShopBook
    made: bool
    in_doubt: bool = False

    @property
    def order_no(self) -> str:
        """The order number, or the file's name."""
        return self.survey.order_no or self.survey.file

    @property
    def offset_mm(self) -> float:
        """How far the centre line lies behind (+) or in front (-) of the wires."""
        return self.section.offset_mm or 0.0

    @property
    def lean(self) -> float:
        """How far a string moves to the treble for each mm towards the tail; 0 where the ends are sawn square."""
        theta = self.section.theta_deg
        if theta is None or self.carrier.saw_hand == "square":
            return 0.0
        return 1.0 / math.tan(math.radians(theta))

    @property
    def spacing(self) -> Spacing | None:
        """The wires, if the section has any."""
        return self.section.spacing


def segment_cases(
    survey: Survey, sections: tuple[SectionResult, ...], book: ShopBook, made: bool = True, in_doubt: bool = False
) -> tuple[SegmentCase, ...]:
    """Gather what the drawings of an instrument need; sections without a carrier have none.

    Args:
        survey: the instrument's readings.
        sections: its computed sections.
        book: the shop book.
        made: the segments are in the cutting list of the run.
        in_doubt: a reading of the instrument is still to confirm.

    Returns:
        One case a segment, bass first.
    """
    read = {section.number: section for section in survey.sections}
    cases = []
    for section in sections:
        if section.carrier is None or section.felt is None:
            continue
        readings = read.get(section.section)
        wire = survey.wire_diameter_mm if survey.wire_diameter_mm is not None else book.value("default_wire_diameter")
        cases.append(
            SegmentCase(
                survey,
                section,
                section.carrier,
                section.felt,
                heights_of(readings, survey, book) if readings else None,
                book.value("foot_width"),
                book.value("station_slot"),
                wire,
                book,
                made,
                in_doubt,
            )
        )
    return tuple(cases)


def outline(case: SegmentCase, width_mm: float) -> tuple[Point, Point, Point, Point]:
    """Give the corners of a strip on the segment's centre line, ends parallel to the strings.

    Args:
        case: the segment.
        width_mm: the strip's width across the rail: the carrier's or the felt's.

    Returns:
        Front low, front high, rear high, rear low; x along the rail, y towards the tail, 0 at the wires.
    """
    half, lean = width_mm / 2.0, case.lean * width_mm / 2.0
    front, rear = case.offset_mm - half, case.offset_mm + half
    start, end = case.carrier.start_mm, case.carrier.end_mm
    return (start - lean, front), (end - lean, front), (end + lean, rear), (start + lean, rear)


def datum_mm(case: SegmentCase) -> float:
    """Give the x of the low end's long point, where every distance of the drawing begins."""
    return min(x for x, _ in outline(case, case.carrier.width_mm))


def datum_words(case: SegmentCase) -> str:
    """Say where the distances begin."""
    if case.lean == 0.0:
        return "the low (bass) end"
    return f"the low (bass) end, long point ({'keyboard' if case.lean > 0 else 'tail'} edge)"


def saw_words(case: SegmentCase) -> str:
    """Spell the saw setting: ``square`` or ``12.0 deg left``."""
    if case.carrier.saw_hand == "square":
        return "square"
    return f"{fixed(case.carrier.saw_angle_deg)} deg {case.carrier.saw_hand}"


def relief_words(relief: Relief) -> str:
    """Say how a hollow or a notch is cut, and how well the place of its screw or wire is known.

    Args:
        relief: the hollow or notch.

    Returns:
        For example ``underside, from the edge at the wires: 12.0 long, 2.3 in, 1.0 deep; screw known to within 1.8``.
    """
    from_edge = "from the edge at the wires"
    size = f"{fixed(relief.slot_mm)} long, {fixed(relief.reach_mm)} in"
    known = f"{relief.kind} known to within {fixed(1.96 * relief.u_x_mm)}"
    if relief.kind == "screw":
        return f"underside, {from_edge}: {size}, {fixed(relief.depth_mm)} deep; {known}"
    return f"right through, {from_edge}: {size}; {known}"


def shim_at(stations: tuple[Station, ...], x_mm: float) -> float:
    """Give the shim that a straight carrier on its stations has at any place; the outer slopes go on outwards.

    Args:
        stations: at least one, in any order.
        x_mm: a place along the rail.

    Returns:
        Shim height there, mm.
    """
    ordered = sorted(stations, key=lambda station: station.x_mm)
    xs = np.array([station.x_mm for station in ordered])
    shims = np.array([station.shim_mm for station in ordered])
    if len(ordered) == 1 or xs[0] <= x_mm <= xs[-1]:
        return float(np.interp(x_mm, xs, shims))
    a, b = (0, 1) if x_mm < xs[0] else (-2, -1)
    return float(shims[a] + (x_mm - xs[a]) * (shims[b] - shims[a]) / (xs[b] - xs[a]))


def stack_at(case: SegmentCase, x_mm: float, shim: float | None = None) -> float:
    """Give the height of the felt's top above the guide rail at one place, lowered: foot + shim + carrier + felt.

    Args:
        case: the segment.
        x_mm: the place along the rail.
        shim: a shim to reckon with, mm; ``None`` for what the stations' shims come to at that place.

    Returns:
        Height, mm.
    """
    if shim is None:
        shim = shim_at(case.section.stations, x_mm) if case.section.stations else 0.0
    return (case.section.foot_height_mm or 0.0) + shim + case.carrier.height_mm + case.felt.thickness_mm


def warning_words(case: SegmentCase) -> str:
    """Warn where a segment is not in the cutting list, or in it before every doubt is settled; empty otherwise."""
    if not case.made:
        return "DO NOT MAKE: not in the cutting list of this run"
    return "TO CONFIRM: a reading is still in doubt" if case.in_doubt else ""


def wire_label(section: SectionResult, index: int) -> str:
    """Name a wire by its note, or by its number in the section where the notes are not known."""
    if section.first_note is None or not FIRST_NOTE <= section.first_note + index <= LAST_NOTE:
        return f"wire {index + 1}"
    return note_words(section.first_note + index)


def between_words(section: SectionResult, station: Station) -> str:
    """Say between which notes a station stands.

    Args:
        section: the section.
        station: one of its stations; gap 0 stands beyond the last wire.

    Returns:
        For example ``between F3 and F#3``.
    """
    if station.gap > 0:
        return f"between {wire_label(section, station.gap - 1)} and {wire_label(section, station.gap)}"
    below = [load.note for load in section.loads if load.x_mm <= station.x_mm]
    above = [load.note for load in section.loads if load.x_mm > station.x_mm]
    if below and above:
        return f"beyond the wires, under the strings {note_words(max(below))} and {note_words(min(above))}"
    return "beyond the wires"
