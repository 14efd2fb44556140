"""A segment in real size for a machine: from above, with what is milled, drilled and sawn on layers of its own."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.writing.drawings import layers
from railwright.writing.drawings.plan_view import plan_view
from railwright.writing.drawings.primitives import Line, Placed, Primitive, Sheet, Text, View
from railwright.writing.drawings.segment_case import (
    SegmentCase,
    datum_mm,
    datum_words,
    relief_words,
    saw_words,
    warning_words,
)
from railwright.writing.numbers import fixed, plain
from railwright.writing.safety import SAFETY_WORDS

#: Letters and lines of the words under the drawing, and how far below the segment the first one stands.
_LETTERS, _STEP, _BELOW = 3.0, 5.0, 32.0


def machine_drawing(case: SegmentCase) -> Sheet:
    """Draw a segment in real size, to be read by a machine's program.

    Args:
        case: the segment.

    Returns:
        A sheet at 1:1 in mm; x = 0 at the low end's long point, so that places are the running dimensions, and y = 0
        on the carrier's edge at the keyboard side, so that the carrier lies in the corner of the axes.
    """
    origin = (-datum_mm(case), case.carrier.width_mm / 2.0 - case.offset_mm)
    return Sheet(
        case.carrier.length_mm,
        case.carrier.width_mm,
        f"Segment {case.section.section} of order {case.order_no}",
        f"Real size in mm, seen from above, keyboard below; x from {datum_words(case)}.",
        (
            Placed(plan_view(case, 1.0), 1.0, origin),
            Placed(View("Station lines", tuple(_station_lines(case))), 1.0, origin),
            Placed(View("Words", tuple(_words(case))), 1.0, (0.0, 0.0)),
        ),
    )


def _station_lines(case: SegmentCase) -> Iterator[Primitive]:
    """Draw the middle line of each station across the carrier."""
    half = case.carrier.width_mm / 2.0
    for station in case.section.stations:
        yield Line((station.x_mm, case.offset_mm - half), (station.x_mm, case.offset_mm + half), layers.MIDDLE)


def _words(case: SegmentCase) -> Iterator[Primitive]:
    for line, words in enumerate(_lines(case)):
        yield Text((0.0, -_BELOW - _STEP * line), words, layers.WORDS, _LETTERS)


def _lines(case: SegmentCase) -> Iterator[str]:
    """Say what the drawing cannot show: names, the third measure, where distances begin, words of caution."""
    section, carrier, felt = case.section, case.carrier, case.felt
    place = {"rear": "behind the wires", "front": "in front of the wires"}.get(section.side or "", "side not decided")
    yield f"Order {case.order_no}, segment {section.section} {section.register or ''}, {place}".replace(" ,", ",")
    size = f"{fixed(carrier.length_mm)} x {plain(carrier.width_mm)} x {plain(carrier.height_mm)}"
    yield f"Carrier {carrier.item}, {size} over the long points, saw both ends {saw_words(case)}"
    yield f"Felt {felt.item}, {fixed(felt.length_mm)} x {plain(felt.width_mm)} x {plain(felt.thickness_mm)}, on top"
    yield f"Real size in mm, seen from above, keyboard below; x from {datum_words(case)}"
    for relief in section.reliefs:
        name = "Hollow" if relief.kind == "screw" else "Notch"
        yield f"{name}, middle at {fixed(relief.x_mm - datum_mm(case))}, {relief_words(relief)}"
    yield from filter(None, (warning_words(case),))
    yield from SAFETY_WORDS
