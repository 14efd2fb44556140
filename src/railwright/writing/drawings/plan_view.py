"""The segment from above: carrier with its mitres, felt, stations, reliefs, wires with their bands, strings."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from railwright.computing.results import Relief
from railwright.computing.skew import cotangent
from railwright.writing.drawings import layers
from railwright.writing.drawings.primitives import (
    Anchor,
    Circle,
    Length,
    Line,
    Ordinate,
    Polyline,
    Primitive,
    Text,
    View,
    rectangle,
)
from railwright.writing.drawings.segment_case import SegmentCase, datum_mm, outline, saw_words, wire_label
from railwright.writing.drawings.spread import spread

_LETTERS = 1.9
#: Running dimensions need this much paper from one to the next.
_APART = 2.5


@dataclass(frozen=True, slots=True)
class Rows:
    """Where the rows of a plan view lie, in real mm from the wires: names on one side, dimensions on the other."""

    names: float
    edge: float
    ordinates: float
    overall: float
    up: bool


def rows_of(case: SegmentCase, scale: float) -> Rows:
    """Put the note names on the free side of the wires, the dimensions on the carrier's side."""
    up = case.offset_mm >= 0
    sign = 1.0 if up else -1.0
    edge = case.offset_mm + sign * case.carrier.width_mm / 2.0
    paper = sign / scale
    return Rows(-3.0 * paper, edge, edge + 6.0 * paper, edge + 17.0 * paper, up)


@lru_cache(maxsize=32)  # patterns and drawings for machines show the same view, and an instrument has few segments
def plan_view(case: SegmentCase, scale: float) -> View:
    """Draw a segment from above, bass at the left, keyboard below.

    Args:
        case: the segment.
        scale: paper mm to a real mm that the view will be shown at; it sets distances of words from lines.

    Returns:
        The view; x = 0 at the section's first head, y = 0 at the wires.
    """
    rows = rows_of(case, scale)
    return View(
        "Seen from above",
        (
            *_strings(case, scale),
            Polyline(outline(case, case.felt.width_mm), layers.FELT, closed=True),
            Polyline(outline(case, case.carrier.width_mm), layers.CARRIER, closed=True),
            *_stations(case),
            *(_relief(case, relief) for relief in case.section.reliefs),
            *_wires(case, rows, scale),
            *_dimensions(case, rows, scale),
            *_directions(case, scale),
        ),
    )


def _strings(case: SegmentCase, scale: float) -> Iterator[Primitive]:
    """Draw each note's line along its strings, across the segment and a little beyond."""
    reach = case.carrier.width_mm / 2.0 + 3.0 / scale
    theta = case.section.theta_deg
    lean = 0.0 if theta is None else cotangent(theta)
    for load in case.section.loads:
        yield Line(
            (load.x_mm - reach * lean, case.offset_mm - reach),
            (load.x_mm + reach * lean, case.offset_mm + reach),
            layers.STRING,
        )


def _stations(case: SegmentCase) -> Iterator[Primitive]:
    half = case.carrier.width_mm / 2.0
    front, rear = case.offset_mm - half, case.offset_mm + half
    for number, station in enumerate(case.section.stations, start=1):
        foot = case.foot_width_mm / 2.0
        slide = foot + case.slot_mm
        yield rectangle(station.x_mm - slide, front, station.x_mm + slide, rear, layers.SLOT)
        yield rectangle(station.x_mm - foot, front, station.x_mm + foot, rear, layers.STATION)
        yield Text((station.x_mm, case.offset_mm), str(number), layers.WORDS, _LETTERS, "middle", bold=True)


def _relief(case: SegmentCase, relief: Relief) -> Polyline:
    """Draw a hollow or a notch as it is cut, from the edge that faces the wires."""
    tail = -1.0 if case.offset_mm < 0 else 1.0
    near = case.offset_mm - tail * case.carrier.width_mm / 2.0
    left, right = relief.x_mm - relief.slot_mm / 2.0, relief.x_mm + relief.slot_mm / 2.0
    layer = layers.HOLLOW if relief.kind == "screw" else layers.NOTCH
    return rectangle(left, near, right, near + tail * relief.reach_mm, layer)


def _named(case: SegmentCase, scale: float) -> int:
    """Give every how many wires a name has room on paper: 1 where all have."""
    if case.spacing is None or len(case.spacing.x_mm) < 2:
        return 1
    pitch = float(np.diff(case.spacing.x_mm).min()) * scale
    return max(1, math.ceil(_LETTERS * 1.05 / max(pitch, 0.1)))


def _wires(case: SegmentCase, rows: Rows, scale: float) -> Iterator[Primitive]:
    if case.spacing is None:
        return
    every = _named(case, scale)
    radius = case.wire_mm / 2.0
    anchor: Anchor = "end" if rows.up else "start"
    for index, (x, band) in enumerate(zip(case.spacing.x_mm.tolist(), case.spacing.u95_mm.tolist(), strict=True)):
        reach = band + radius
        yield rectangle(x - reach, -radius, x + reach, radius, layers.BAND)
        yield Circle((x, 0.0), radius, layers.WIRE)
        if index % every == 0:
            name = wire_label(case.section, index).removeprefix("wire ")
            yield Text((x, rows.names), name, layers.WORDS, _LETTERS, anchor, 90.0)
    for x in case.section.screws_x_mm:
        yield Line((x - 2.0, -2.0), (x + 2.0, 2.0), layers.SCREW)
        yield Line((x - 2.0, 2.0), (x + 2.0, -2.0), layers.SCREW)


def _dimensions(case: SegmentCase, rows: Rows, scale: float) -> Iterator[Primitive]:
    """Give the overall length, and running dimensions of stations and reliefs from the low end's long point."""
    datum = datum_mm(case)
    places = sorted({s.x_mm for s in case.section.stations} | {r.x_mm for r in case.section.reliefs})
    for x, x_text in zip(places, spread(places, _APART / scale), strict=True):
        yield Ordinate(x, datum, rows.edge, rows.ordinates, x_text, layers.DIMENSION, rows.up)
    last = max(x for x, _ in outline(case, case.carrier.width_mm))
    square = case.carrier.saw_hand == "square"
    note = "both ends square" if square else f"over the long points, both ends {saw_words(case)}"
    yield Length(datum, last, rows.edge, rows.overall, layers.DIMENSION, note)


def _directions(case: SegmentCase, scale: float) -> Iterator[Primitive]:
    """Say which side is which, left of the segment and right of it."""
    left, right = case.carrier.start_mm - 10.0 / scale, case.carrier.end_mm + 10.0 / scale
    yield Text((left, 0.0), "bass", layers.QUIET, 2.2, "end")
    yield Text((right, 0.0), "treble", layers.QUIET, 2.2, "start")
    yield Text((left, 9.0 / scale), "tail side", layers.QUIET, _LETTERS, "end")
    yield Text((left, -9.0 / scale), "keyboard side", layers.QUIET, _LETTERS, "end")
