"""Pictures for the person at the piano: where each reading of the survey is taken. Drawn, not to scale."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from railwright.survey.fields import INSTRUMENT_FIELDS, SECTION_FIELDS
from railwright.writing.drawings.layers import Layer
from railwright.writing.drawings.primitives import (
    Anchor,
    Circle,
    Line,
    Placed,
    Point,
    Polyline,
    Primitive,
    Sheet,
    Text,
    View,
    rectangle,
)

WIDTH, HEIGHT = 186.0, 252.0
_LETTERS, _TITLE, _SMALL = 2.9, 3.6, 2.5

HEAD = Layer("damper heads", "damper heads", 0.3, "#1f2a30", fill="#dfe5e8")
WIRE = Layer("damper wires", "damper wires", 0.2, "#1f2a30", fill="#1f2a30")
RAIL = Layer("guide rail", "guide rail", 0.25, "#8a7444", fill="#f3e6c4")
PLATE = Layer("plate", "plate and struts", 0.3, "#44525a", fill="#c9d0d4")
STRING = Layer("strings", "strings", 0.3, "#7f8f98")
READ = Layer("string read", "the string whose angle is read", 0.7, "#1f2a30")
SWING = Layer("swing", "the string on a hard blow", 0.3, "#7f8f98", (1.5, 0.8))
BLOCK = Layer("gauge block", "gauge block", 0.35, "#0b5c7a", fill="#cfe6ef")
SCREW = Layer("screws", "guide-rail screws", 0.5, "#9c2f1f")
MEASURE = Layer("reading", "what is read", 0.35, "#0b5c7a")
EDGE = Layer("edge", "from what to what it is read", 0.18, "#0b5c7a")
WORDS = Layer("words", "words", 0.18, "#1f2a30")
QUIET = Layer("notes", "notes", 0.18, "#4f5d65")
FRAME = Layer("frame", "frames", 0.2, "#8a969d")

#: The picture that shows a reading, by the reading's key without its section.
PICTURE_OF = {
    **dict.fromkeys(("dampers", "span", "run", "run_end", "room_low", "room_high", "gap_next", "head_width"), 1),
    **dict.fromkeys(("angle_1", "angle_2"), 2),
    "screws": 3,
    **dict.fromkeys(("gauge_low", "gauge_high", "rest_low", "rest_high"), 4),
    **dict.fromkeys(("ledge_front", "ledge_rear", "wire_diameter"), 5),
    **dict.fromkeys(("strut", "hole_low", "hole_high", "hole_offset_low", "hole_offset_high"), 6),
    "top_reach": 7,
}

_LABELS = {field.key: field.label for field in (*INSTRUMENT_FIELDS, *SECTION_FIELDS)}


def survey_pictures() -> Sheet:
    """Lay the pictures out on one page.

    Returns:
        A sheet that fits A4 and Letter with their margins; every reading bears its name from the survey.
    """
    half = WIDTH / 2.0 + 1.5
    places: Sequence[tuple[View, Point]] = (
        (section_view(), (0.0, 184.0)),
        (angle_view(), (0.0, 122.0)),
        (screws_view(), (half, 122.0)),
        (heights_view(), (0.0, 60.0)),
        (ledges_view(), (half, 60.0)),
        (strut_view(), (0.0, 0.0)),
        (reach_view(), (half, 0.0)),
    )
    return Sheet(
        WIDTH,
        HEIGHT,
        "Where to measure",
        "Seven pictures of where the readings of the survey are taken; not to scale.",
        tuple(Placed(view, 1.0, place) for view, place in places),
    )


def section_view() -> View:
    """From above: count, span, runs, head width, rooms, gap."""
    heads = [24.0 + 9.0 * index for index in range(12)]
    beyond = [153.0 + 9.0 * index for index in range(3)]
    first, last, middle = heads[0], heads[-1] + _HEAD, 33.0
    return View(
        "1  A section seen from above: count, span, runs, rooms",
        (
            *_frame(WIDTH, 68.0, "1", "A section from above: count, span, runs, rooms"),
            rectangle(4.0, middle - 4.5, 182.0, middle + 4.5, RAIL),
            rectangle(4.0, middle - 9.0, 10.0, middle + 9.0, PLATE),
            rectangle(138.0, middle - 9.0, 144.0, middle + 9.0, PLATE),
            *_heads([*heads, *beyond], middle),
            *(Text((x + _HEAD / 2, middle + 4.2), str(n), WORDS, _SMALL, "middle") for n, x in enumerate(heads, 1)),
            *_across(first, last, middle + 5.5, 54.0, _LABELS["span"]),
            *_across(10.0, first, middle + 5.5, 46.0, _LABELS["room_low"], first + 1.5, "start"),
            *_across(last, 138.0, middle + 5.5, 46.0, _LABELS["room_high"], last - 1.5, "end"),
            *_across(last, beyond[0], middle + 5.5, 54.0, _LABELS["gap_next"], 182.0, "end"),
            *_across(first, first + _HEAD, middle - 3.0, 22.0, _LABELS["head_width"], 4.0, "start", below=True),
            *_run(heads[2:10], middle - 3.0, 11.0),
            Text((4.0, 12.5), _LABELS["run"], WORDS, _LETTERS),
            Text((4.0, 9.0), "treble section: treble end", WORDS, _SMALL),
            *_run(heads[4:12], middle - 3.0, 20.0),
            Text((125.5, 20.5), _LABELS["run_end"], WORDS, _LETTERS),
            Text((125.5, 17.0), "treble section: bass end", WORDS, _SMALL),
            Text((4.0, 4.5), "bass", QUIET, _LETTERS),
            Text((182.0, 4.5), "treble", QUIET, _LETTERS, "end"),
            Text((4.0, 54.0), "tail side", QUIET, _LETTERS),
            Text((93.0, 4.0), "keyboard side", QUIET, _LETTERS, "middle"),
        ),
    )


def angle_view() -> View:
    """The angle at the rail, and which string of a unison it is read on."""
    return View(
        "2  The string angle, from the rail's treble direction to the string",
        (
            *_frame(_HALF, 60.0, "2", _LABELS["angle_1"]),
            rectangle(4.0, 9.0, 86.0, 16.0, RAIL),
            *_leaning(12.0, 12.5, 72.0, "below 90:", "leans to the treble"),
            *_leaning(62.0, 12.5, 102.0, "above 90:", "leans to the bass"),
            Text((4.0, 5.0), "bass", QUIET, _LETTERS),
            Text((86.0, 5.0), "treble", QUIET, _LETTERS, "end"),
            Text((45.0, 5.0), "guide rail, dampers lifted", QUIET, _SMALL, "middle"),
            Text((4.0, 47.5), "Read on the bold string: either of a pair, the middle one of three.", WORDS, _SMALL),
        ),
    )


def _leaning(x: float, y: float, angle: float, *words: str) -> Iterator[Primitive]:
    """Draw a unison across the rail and the arc of its angle."""
    radians = math.radians(angle)
    for shift in (-2.5, 0.0, 2.5):
        foot, top = x + shift - 5.0 / math.tan(radians), x + shift + 28.0 / math.tan(radians)
        yield Line((foot, y - 5.0), (top, y + 28.0), READ if shift == 0.0 else STRING)
    arc = [math.radians(angle * step / 24.0) for step in range(25)]
    yield Polyline(tuple((x + 12.0 * math.cos(a), y + 12.0 * math.sin(a)) for a in arc), MEASURE)
    yield Line((x - 2.0, y), (x + 18.0, y), EDGE)
    yield from tip((x + 12.0 * math.cos(radians), y + 12.0 * math.sin(radians)), angle + 90.0)
    yield Text((x + 14.5, y + 9.0), f"{angle:.0f}", MEASURE, _LETTERS, bold=True)
    beside = x + 4.0 + max(0.0, 24.0 / math.tan(radians))
    for line, some in enumerate(words):
        yield Text((beside, y + 24.0 - 3.6 * line), some, WORDS, _SMALL)


def screws_view() -> View:
    """Screws, by the number of heads above each."""
    heads = [8.0 + 6.4 * index for index in range(12)]
    middle = 26.0
    return View(
        "3  Guide-rail screws: the heads above each, counted down from the treble end",
        (
            *_frame(_HALF, 60.0, "3", f"{_LABELS['screws']}, here 3; 7"),
            rectangle(4.0, middle - 8.0, 88.0, middle + 5.0, RAIL),
            *_heads(heads, middle, 4.4),
            *(_cross(heads[12 - above] - 1.0, middle - 5.8) for above in (3, 7)),
            *(Text((x + 2.2, middle + 8.5), str(12 - n), MEASURE, _SMALL, "middle") for n, x in enumerate(heads)),
            Line((86.0, 40.0), (58.0, 40.0), MEASURE),
            *tip((58.0, 40.0), 180.0),
            Text((86.0, 43.5), "count the heads down from the treble end", WORDS, _SMALL, "end"),
            *_above(heads[9] - 1.0, middle - 9.0, "3 heads above"),
            *_above(heads[5] - 1.0, middle - 9.0, "7 heads above"),
            Text((4.0, 5.0), "bass", QUIET, _LETTERS),
            Text((88.0, 5.0), "treble", QUIET, _LETTERS, "end"),
        ),
    )


def heights_view() -> View:
    """Seen along the rail: gauge block and gap at rest at one end of a section."""
    top, string = 18.0, 44.0
    bend = tuple((x, string - 6.0 * math.sin(math.pi * (x - 4.0) / 84.0)) for x in range(4, 89, 4))
    return View(
        "4  Heights at either end, seen from the side: clear gauge and gap at rest",
        (
            *_frame(_HALF, 60.0, "4", "Heights, at the low and at the high end"),
            rectangle(14.0, 8.0, 78.0, top, RAIL),
            Text((46.0, 13.0), "guide rail", WORDS, _SMALL, "middle"),
            Line((4.0, string), (88.0, string), STRING),
            Polyline(bend, SWING),
            rectangle(38.0, top, 66.0, 37.2, BLOCK),
            Text((52.0, 34.4), "gauge block", QUIET, _SMALL, "middle"),
            *_upright(42.0, top, 37.2, "Clear gauge", 0.0),
            *_upright(18.0, top, string, "Gap at rest", 0.0),
            Text((88.0, 47.0), "string at rest", QUIET, _SMALL, "end"),
            Text((88.0, 36.0), "on a hard blow", QUIET, _SMALL, "end"),
            Text((4.0, 49.5), "Gauge: the thickest block that no blow touches.", WORDS, _SMALL),
            Text((4.0, 4.5), "keyboard", QUIET, _LETTERS),
            Text((88.0, 4.5), "tail", QUIET, _LETTERS, "end"),
        ),
    )


def ledges_view() -> View:
    """Seen along the rail: how much of the guide rail is free before and behind the wires."""
    top, wire = 18.0, 44.0
    return View(
        "5  Guide rail free in front of and behind the wires, seen from the side",
        (
            *_frame(_HALF, 60.0, "5", "Guide rail free, once for the instrument"),
            rectangle(14.0, 8.0, 78.0, top, RAIL),
            rectangle(wire - 0.7, 8.0, wire + 0.7, 44.0, WIRE),
            rectangle(wire - 6.0, 44.0, wire + 6.0, 50.0, HEAD),
            *_across(14.0, wire, top, 25.0, "in front of the wires"),
            *_across(wire, 78.0, top, 25.0, "behind the wires"),
            Text((47.0, 38.0), _LABELS["wire_diameter"], WORDS, _SMALL),
            Line((45.0, 38.0), (46.5, 38.0), EDGE),
            Text((52.0, 47.0), "damper head", QUIET, _SMALL),
            Text((4.0, 4.5), "keyboard", QUIET, _LETTERS),
            Text((88.0, 4.5), "tail", QUIET, _LETTERS, "end"),
        ),
    )


def strut_view() -> View:
    """From above: a strut on the tail side, and a wire hole out of line."""
    middle = 26.0
    heads = [13.0 + 9.0 * index for index in range(7)]
    return View(
        "6  A strut on the tail side of the wires, and a wire hole out of line towards the keyboard",
        (
            *_frame(_HALF, 58.0, "6", "Strut; wire hole out of line"),
            rectangle(4.0, middle - 12.0, 88.0, middle + 5.0, RAIL),
            rectangle(46.0, middle + 2.5, 54.0, 47.0, PLATE),
            *_heads(heads[1:], middle),
            rectangle(heads[0], middle - 9.0, heads[0] + _HEAD, middle - 1.0, HEAD),
            Circle((heads[0] + _HEAD / 2, middle - 5.0), 0.9, WIRE),
            Line((8.0, middle), (86.0, middle), EDGE),
            *_upright(9.5, middle - 5.0, middle, "", 0.0),
            Line((8.0, middle - 5.0), (heads[0] + _HEAD / 2, middle - 5.0), EDGE),
            Text((21.5, middle - 6.5), _LABELS["hole_offset_low"], WORDS, _LETTERS),
            Text((57.0, 41.0), _LABELS["strut"], WORDS, _LETTERS),
            Text((4.0, 4.5), "bass", QUIET, _LETTERS),
            Text((46.0, 4.5), "keyboard side", QUIET, _LETTERS, "middle"),
            Text((88.0, 4.5), "treble", QUIET, _LETTERS, "end"),
        ),
    )


def reach_view() -> View:
    """From above: the reach of the top damped section, and a section without dampers beyond a strut."""
    middle = 26.0
    heads = [8.0 + 6.4 * index for index in range(5)]
    strings = [43.0 + 3.2 * index for index in range(6)]
    beyond = [71.0 + 3.2 * index for index in range(5)]
    return View(
        "7  The reach over the top damped section, and a section of 0 dampers beyond a strut",
        (
            *_frame(_HALF, 58.0, "7", "The top sections, with undamped notes"),
            rectangle(4.0, middle - 5.0, 88.0, middle + 5.0, RAIL),
            *(Line((x, middle - 9.0), (x, middle + 9.0), STRING) for x in (*strings, *beyond)),
            rectangle(62.5, middle - 9.0, 67.5, middle + 9.0, PLATE),
            *_heads(heads, middle, 4.4),
            *_across(heads[0], strings[-1], middle + 10.0, 41.0, _LABELS["top_reach"], heads[0] - 2.0, "start"),
            *_across(beyond[0], beyond[-1], middle - 10.0, 13.0, "0 dampers: span, first to last string", 88.0, "end",
                     below=True),
            Text((4.0, 4.5), "bass", QUIET, _LETTERS),
            Text((88.0, 4.5), "treble", QUIET, _LETTERS, "end"),
        ),
    )  # fmt: skip


_HALF = WIDTH / 2.0 - 1.5
_HEAD = 6.4


def _frame(wide: float, high: float, number: str, title: str) -> Iterator[Primitive]:
    yield rectangle(0.0, 0.0, wide, high - 2.0, FRAME)
    yield Text((3.0, high - 6.0), number, MEASURE, _TITLE, bold=True)
    yield Text((9.0, high - 6.0), title, WORDS, _TITLE, bold=True)


def _heads(lefts: Sequence[float], middle: float, wide: float = _HEAD) -> Iterator[Primitive]:
    """Draw heads from above, each with its wire under its middle."""
    for left in lefts:
        yield rectangle(left, middle - 3.0, left + wide, middle + 5.5, HEAD)
    for left in lefts:
        yield Circle((left + wide / 2.0, middle), 0.9, WIRE)


def _across(
    x1: float, x2: float, y_feature: float, y: float, words: str, x_words: float | None = None,
    anchor: Anchor = "middle", below: bool = False,
) -> Iterator[Primitive]:  # fmt: skip
    """Draw a reading along the rail: edges, a double arrow, its name."""
    beyond = 1.2 if y > y_feature else -1.2
    for x in (x1, x2):
        yield Line((x, y_feature), (x, y + beyond), EDGE)
    yield Line((x1, y), (x2, y), MEASURE)
    yield from tip((x1, y), 180.0)
    yield from tip((x2, y), 0.0)
    place = (x1 + x2) / 2.0 if x_words is None else x_words
    if words:
        yield Text((place, y - 3.0 if below else y + 2.6), words, WORDS, _LETTERS, anchor)


def _upright(x: float, y1: float, y2: float, words: str, beside: float) -> Iterator[Primitive]:
    """Draw a reading up from the rail, its name beside it."""
    yield Line((x, y1), (x, y2), MEASURE)
    yield from tip((x, y1), 270.0)
    yield from tip((x, y2), 90.0)
    if words:
        yield Text((x + 2.0 + beside, (y1 + y2) / 2.0), words, WORDS, _LETTERS)


def tip(at: Point, way_deg: float, size: float = 2.0, layer: Layer = MEASURE) -> Iterator[Primitive]:
    """Draw an arrow's tip ``size`` mm long that points the given way, anticlockwise from the right."""
    barbs = [math.radians(way_deg + turn) for turn in (157.0, 203.0)]
    (x1, y1), (x2, y2) = ((at[0] + size * math.cos(barb), at[1] + size * math.sin(barb)) for barb in barbs)
    yield Polyline(((x1, y1), at, (x2, y2)), layer)


def _run(lefts: Sequence[float], y_feature: float, y: float) -> Iterator[Primitive]:
    """Draw a run of seven spaces over eight heads' bass-side edges, each space marked off and counted."""
    yield from _across(lefts[0], lefts[-1], y_feature, y, "", below=True)
    for number, (left, right) in enumerate(pairwise(lefts), start=1):
        yield Line((left, y - 0.8), (left, y + 0.8), MEASURE)
        yield Text(((left + right) / 2.0, y + 1.9), str(number), MEASURE, 2.1, "middle")


def _cross(x: float, y: float) -> Polyline:
    """Draw a screw as a cross in one stroke."""
    return Polyline(((x - 1.6, y - 1.6), (x + 1.6, y + 1.6), (x, y), (x - 1.6, y + 1.6), (x + 1.6, y - 1.6)), SCREW)


def _above(x: float, y: float, words: str) -> Iterator[Primitive]:
    yield Line((x, y + 0.8), (x, y - 2.5), EDGE)
    yield Text((x, y - 4.4), words, WORDS, _SMALL, "middle")
