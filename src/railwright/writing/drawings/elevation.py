"""The segment from the keyboard, lowered: feet with their shims, carrier with its hollows, felt, string levels."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.writing.drawings import layers
from railwright.writing.drawings.layers import Layer
from railwright.writing.drawings.primitives import Line, Polyline, Primitive, Text, View, rectangle
from railwright.writing.drawings.segment_case import SegmentCase, shim_at


def elevation(case: SegmentCase, scale: float) -> View:
    """Draw a segment from the front, lowered onto the guide rail.

    Args:
        case: the segment.
        scale: paper mm to a real mm that the view will be shown at.

    Returns:
        The view; x as in the plan view, y = 0 on the guide rail.
    """
    start, end = case.carrier.start_mm, case.carrier.end_mm
    left, right = start - 6.0 / scale, end + 6.0 / scale
    return View(
        "Seen from the keyboard, lowered",
        (
            Line((left, 0.0), (right, 0.0), layers.LEVEL),
            Text((left - 4.0 / scale, 0.0), "guide rail", layers.QUIET, 1.9, "end"),
            *_feet(case),
            _bar(case, 0.0, case.carrier.height_mm, layers.CARRIER),
            _bar(case, case.carrier.height_mm, case.carrier.height_mm + case.felt.thickness_mm, layers.FELT),
            *_hollows(case),
            *_strings(case, scale),
        ),
    )


def _base(case: SegmentCase, x: float) -> float:
    shim = shim_at(case.section.stations, x) if case.section.stations else 0.0
    return (case.section.foot_height_mm or 0.0) + shim


def _bar(case: SegmentCase, low: float, high: float, layer: Layer) -> Polyline:
    start, end = case.carrier.start_mm, case.carrier.end_mm
    at_start, at_end = _base(case, start), _base(case, end)
    points = ((start, at_start + low), (end, at_end + low), (end, at_end + high), (start, at_start + high))
    return Polyline(points, layer, closed=True)


def _feet(case: SegmentCase) -> Iterator[Primitive]:
    half = case.foot_width_mm / 2.0
    for station in case.section.stations:
        yield rectangle(station.x_mm - half, 0.0, station.x_mm + half, _base(case, station.x_mm), layers.STATION)


def _hollows(case: SegmentCase) -> Iterator[Primitive]:
    for relief in case.section.reliefs:
        if relief.kind == "screw":
            under, half = _base(case, relief.x_mm), relief.slot_mm / 2.0
            yield rectangle(relief.x_mm - half, under, relief.x_mm + half, under + relief.depth_mm, layers.HOLLOW)


def _strings(case: SegmentCase, scale: float) -> Iterator[Primitive]:
    """Draw the strings at rest from the first to the last, and the height that a hard blow leaves free."""
    if case.heights is None or not case.section.loads:
        return
    first, last = case.section.loads[0].x_mm, case.section.loads[-1].x_mm
    low, high = case.heights.low, case.heights.high
    yield Line((first, low.rest_mm), (last, high.rest_mm), layers.STRING)
    yield Line((first, low.free_mm), (last, high.free_mm), layers.LEVEL)
    beside = max(last, case.carrier.end_mm) + 3.0 / scale
    gap = 1.3 / scale
    middle = (high.rest_mm + high.free_mm) / 2.0
    yield Text((beside, max(high.rest_mm, middle + gap)), "strings at rest", layers.QUIET, 1.9)
    yield Text((beside, min(high.free_mm, middle - gap)), "free on a hard blow", layers.QUIET, 1.9)
