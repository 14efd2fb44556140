"""Small pictures for the rows of the survey: each shows its own reading and nothing else. Drawn, not to scale."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from railwright.survey.fields import INSTRUMENT_FIELDS, SECTION_FIELDS
from railwright.writing.drawings import survey_pictures as large
from railwright.writing.drawings.primitives import Circle, Line, Point, Polyline, Primitive, Text, View, rectangle

#: The larger pictures' colours, in finer lines.
HEAD, RAIL, PLATE, BLOCK = (replace(one, width_mm=0.15) for one in (large.HEAD, large.RAIL, large.PLATE, large.BLOCK))
WIRE, EDGE = (replace(one, width_mm=0.1) for one in (large.WIRE, large.EDGE))
STRING, SWING = (replace(one, width_mm=0.2) for one in (large.STRING, large.SWING))
MEASURE, SCREW, READ = replace(large.MEASURE, width_mm=0.25), replace(large.SCREW, width_mm=0.35), large.READ

WIDTH, HEIGHT = 27.0, 8.4

_LETTERS = 1.9
#: Heads seen from above: their pitch and width, the line of the wires, and the edges before and behind it.
_PITCH, _HEAD, _LINE, _FRONT, _REAR = 2.6, 1.8, 2.7, 1.6, 4.2
_READING = 6.1
#: Seen from the keyboard: the guide rail's upper face, and the strings at rest above it.
_FACE, _STRINGS = 1.8, 7.0

Picture = Iterator[Primitive]


def row_picture(key: str) -> View | None:
    """Give the picture of a reading.

    Args:
        key: a field's key, without its section.

    Returns:
        A view of at most ``WIDTH`` by ``HEIGHT`` mm, named as the row is; ``None`` where there is nothing to show.
    """
    draw = _PICTURES.get(key)
    return View(_LABELS[key], tuple(draw())) if draw else None


_LABELS = {field.key: field.label for field in (*INSTRUMENT_FIELDS, *SECTION_FIELDS)}


def _lefts(count: int, first: float = 0.9, pitch: float = _PITCH) -> list[float]:
    return [first + pitch * index for index in range(count)]


def _heads(lefts: Iterable[float], line: float = _LINE) -> Picture:
    """Draw heads from above, each with its wire, on a line of wires."""
    lefts = list(lefts)
    for left in lefts:
        yield rectangle(left, line + _FRONT - _LINE, left + _HEAD, line + _REAR - _LINE, HEAD)
    for left in lefts:
        yield Circle((left + _HEAD / 2.0, line), 0.35, WIRE)


def _rail() -> Polyline:
    return rectangle(0.2, 0.8, WIDTH - 0.2, 4.7, RAIL)


def _across(x1: float, x2: float, y: float = _READING, y_feature: float = _REAR) -> Picture:
    """Draw a reading along the rail: edges and a double arrow."""
    for x in (x1, x2):
        yield Line((x, y_feature), (x, y + 0.8), EDGE)
    yield Line((x1, y), (x2, y), MEASURE)
    yield from _tip((x1, y), 180.0)
    yield from _tip((x2, y), 0.0)


def _tip(at: Point, way_deg: float) -> Picture:
    return large.tip(at, way_deg, 1.1, MEASURE)


def _upright(x: float, y1: float, y2: float) -> Picture:
    yield Line((x, y1), (x, y2), MEASURE)
    yield from _tip((x, y1), 270.0)
    yield from _tip((x, y2), 90.0)


def _numbers(lefts: Sequence[float], texts: Iterable[str], y: float = _READING) -> Picture:
    for left, text in zip(lefts, texts, strict=True):
        yield Text((left + _HEAD / 2.0, y), text, MEASURE, _LETTERS, "middle")


def _count() -> Picture:
    lefts = _lefts(10)
    yield _rail()
    yield from _heads(lefts)
    yield from _numbers(lefts, map(str, range(1, 11)))


def _notes() -> Picture:
    """More notes than dampers: strings without heads are counted too."""
    lefts = _lefts(10)
    yield _rail()
    for left in lefts[6:]:
        x = left + _HEAD / 2.0
        yield Line((x, 0.4), (x, 5.2), STRING)
    yield from _heads(lefts[:6])
    yield from _numbers(lefts, map(str, range(1, 11)))


def _span() -> Picture:
    lefts = _lefts(10)
    yield _rail()
    yield from _heads(lefts)
    yield from _across(lefts[0], lefts[-1] + _HEAD)


def _run(first: int) -> Picture:
    """Seven spaces from the bass-side edge of a head, counted from 0, to that of the seventh after it."""
    lefts = _lefts(10)
    yield _rail()
    yield from _heads(lefts)
    yield from _across(lefts[first], lefts[first + 7], 5.4)
    for number, left in enumerate(lefts[first : first + 7], start=1):
        if number > 1:
            yield Line((left, 5.0), (left, 5.8), MEASURE)
        yield Text((left + _PITCH / 2.0, 6.68), str(number), MEASURE, _LETTERS, "middle")


def _angle(x: float, degrees: float, strings: Sequence[float], read: float) -> Picture:
    """Draw a unison over the rail, one of its strings read, and the arc of its angle."""
    slope = math.tan(math.radians(degrees))
    for shift in strings:
        foot, top = (0.3 - 1.6) / slope, (7.8 - 1.6) / slope
        layer = READ if shift == read else STRING
        yield Line((x + shift + foot, 0.3), (x + shift + top, 7.8), layer)
    middle = x + read
    arc = [math.radians(degrees * step / 12.0) for step in range(13)]
    yield Polyline(tuple((middle + 3.6 * math.cos(a), 1.6 + 3.6 * math.sin(a)) for a in arc), MEASURE)
    yield Line((middle - 0.6, 1.6), (middle + 5.4, 1.6), EDGE)
    yield from _tip((middle + 3.6 * math.cos(arc[-1]), 1.6 + 3.6 * math.sin(arc[-1])), degrees + 90.0)


def _angles(strings: Sequence[float], read: float) -> Picture:
    """Below 90 at the left, above 90 at the right."""
    yield rectangle(0.2, 0.5, WIDTH - 0.2, 2.7, RAIL)
    yield from _angle(3.0, 70.0, strings, read)
    yield from _angle(19.0, 106.0, strings, read)


def _strut() -> Picture:
    lefts = _lefts(10)
    yield _rail()
    yield rectangle(12.4, 3.4, 15.0, 8.2, PLATE)
    yield from _heads(lefts)


def _hole(at_high_end: bool, measured: bool) -> Picture:
    """Draw one end wire out of line towards the keyboard; how far, where that is the reading."""
    lefts = _lefts(9)
    odd = lefts[-1] if at_high_end else lefts[0]
    line, out = 4.6, 2.2
    yield rectangle(0.2, 0.6, WIDTH - 0.2, 6.4, RAIL)
    yield from _heads([left for left in lefts if left != odd], line)
    yield from _heads([odd], out)
    yield Line((0.4, line), (WIDTH - 0.4, line), EDGE)
    if not measured:
        yield Circle((odd + _HEAD / 2.0, out), 1.6, MEASURE)
        return
    x = lefts[-1] + 2.7 if at_high_end else lefts[1] + 0.5
    yield Line((odd + _HEAD / 2.0, out), (x, out), EDGE)
    yield from _upright(x, out, line)


def _screws() -> Picture:
    """Two screws, the heads above each counted down from the treble end."""
    lefts = _lefts(10)
    yield _rail()
    yield from _heads(lefts)
    yield from _numbers(lefts[3:], map(str, range(7, 0, -1)))
    for above in (3, 7):
        x, y = lefts[10 - above] - (_PITCH - _HEAD) / 2.0, 0.9
        yield Line((x - 0.6, y - 0.6), (x + 0.6, y + 0.6), SCREW)
        yield Line((x - 0.6, y + 0.6), (x + 0.6, y - 0.6), SCREW)


def _height(at_high_end: bool, with_block: bool) -> Picture:
    """Seen from the keyboard: strings over the guide rail, the first or the last of them read."""
    xs = [left + _HEAD / 2.0 for left in _lefts(10)]
    x = xs[-1] if at_high_end else xs[0]
    yield rectangle(0.2, 0.4, WIDTH - 0.2, _FACE, RAIL)
    for each in xs:
        yield Circle((each, _STRINGS), 0.3, WIRE)
    if not with_block:
        yield from _upright(x, _FACE, _STRINGS - 0.3)
        return
    top = 5.2
    left = x - 3.4 if at_high_end else x - 0.5
    yield rectangle(left, _FACE, left + 3.9, top, BLOCK)
    yield from _upright(left + 1.95, _FACE, top)
    yield Line((x, _STRINGS - 0.3), (x, top + 0.4), SWING)


def _strings(read: int) -> Picture:
    """Notes of one, two and three strings, seen end on; those of ``read`` strings are the ones counted."""
    yield rectangle(0.2, 0.4, WIDTH - 0.2, _FACE, RAIL)
    for index, left in enumerate(_lefts(10)):
        number = 1 if index < 3 else 2 if index < 6 else 3
        for string in range(number):
            x = left + _HEAD / 2.0 + 0.62 * (string - (number - 1) / 2.0)
            yield Circle((x, 4.4), 0.24, WIRE)
        if number == read:
            yield Text((left + _HEAD / 2.0, 6.6), str(index % 3 + 1), MEASURE, _LETTERS, "middle")


def _room(at_high_end: bool) -> Picture:
    lefts = _lefts(7, 7.0) if not at_high_end else _lefts(7, 2.2)
    plate = 0.4 if not at_high_end else 24.4
    yield _rail()
    yield rectangle(plate, 0.3, plate + 2.2, 7.2, PLATE)
    yield from _heads(lefts)
    yield from _across(plate + 2.2, lefts[0]) if not at_high_end else _across(lefts[-1] + _HEAD, plate)


def _gap() -> Picture:
    below, above = _lefts(4), _lefts(4, 16.5)
    yield _rail()
    yield rectangle(12.2, 0.3, 14.4, 5.4, PLATE)
    yield from _heads([*below, *above])
    yield from _across(below[-1] + _HEAD, above[0], 6.8)


def _head_width() -> Picture:
    yield _rail()
    yield from _heads([left for left in _lefts(10) if left < 7.0 or left > 18.0])
    yield rectangle(10.6, 1.2, 16.4, 4.6, HEAD)
    yield Circle((13.5, _LINE), 0.6, WIRE)
    yield from _across(10.6, 16.4, 6.4, 4.6)


def _wire() -> Picture:
    """Seen from the side: a wire through the rail, below its head."""
    yield rectangle(5.0, 0.4, 22.0, 3.0, RAIL)
    yield rectangle(12.6, 0.4, 14.4, 6.0, WIRE)
    yield rectangle(9.5, 6.0, 17.5, 8.0, HEAD)
    yield Line((8.6, 4.5), (12.6, 4.5), MEASURE)
    yield from _tip((12.6, 4.5), 0.0)
    yield Line((14.4, 4.5), (18.4, 4.5), MEASURE)
    yield from _tip((14.4, 4.5), 180.0)


def _ledge(behind: bool) -> Picture:
    """Seen from the side, keyboard left: rail free from the wire to its edge."""
    yield rectangle(3.0, 0.4, 24.0, 3.0, RAIL)
    yield rectangle(13.2, 0.4, 13.8, 6.0, WIRE)
    yield rectangle(10.5, 6.0, 16.5, 8.0, HEAD)
    yield from _across(13.5, 24.0, 4.4, 3.0) if behind else _across(3.0, 13.5, 4.4, 3.0)


def _reach() -> Picture:
    lefts = _lefts(10)
    yield _rail()
    for left in lefts[5:]:
        x = left + _HEAD / 2.0
        yield Line((x, 0.4), (x, 5.2), STRING)
    yield from _heads(lefts[:5])
    yield from _across(lefts[0], lefts[-1] + _HEAD / 2.0)


def _cable() -> Picture:
    """From the lever's place below the keyboard, along the cable's path, to the rail."""
    yield rectangle(15.0, 6.2, WIDTH - 0.2, 8.0, RAIL)
    yield rectangle(0.6, 0.6, 4.4, 2.0, PLATE)
    way: tuple[Point, ...] = ((4.4, 1.3), (10.0, 1.3), (10.6, 1.5), (11.0, 2.1), (11.0, 6.3), (11.4, 6.9), (12.0, 7.1),
                              (15.0, 7.1))  # fmt: skip
    yield Polyline(way, MEASURE)
    yield from _tip(way[0], 180.0)
    yield from _tip(way[-1], 0.0)


#: The pictures, by the reading's key without its section.
_PICTURES: dict[str, Callable[[], Picture]] = {
    "dampers": _count,
    "notes": _notes,
    "span": _span,
    "run": partial(_run, 1),
    "run_end": partial(_run, 2),
    "angle_1": partial(_angles, (-0.8, 0.8), -0.8),
    "angle_2": partial(_angles, (-1.3, 0.0, 1.3), 0.0),
    "strut": _strut,
    "hole_low": partial(_hole, False, False),
    "hole_high": partial(_hole, True, False),
    "hole_offset_low": partial(_hole, False, True),
    "hole_offset_high": partial(_hole, True, True),
    "screws": _screws,
    "gauge_low": partial(_height, False, True),
    "gauge_high": partial(_height, True, True),
    "rest_low": partial(_height, False, False),
    "rest_high": partial(_height, True, False),
    "singles": partial(_strings, 1),
    "doubles": partial(_strings, 2),
    "room_low": partial(_room, False),
    "room_high": partial(_room, True),
    "gap_next": _gap,
    "head_width": _head_width,
    "wire_diameter": _wire,
    "ledge_front": partial(_ledge, False),
    "ledge_rear": partial(_ledge, True),
    "top_reach": _reach,
    "cable_run": _cable,
}
