"""One sheet a segment: views, table of stations and reliefs, title block and words of caution on A4 across."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from railwright.writing.drawings import layers
from railwright.writing.drawings.elevation import elevation
from railwright.writing.drawings.end_views import end_stacks, end_view, tallest
from railwright.writing.drawings.fitting import fitted
from railwright.writing.drawings.plan_view import plan_view, rows_of
from railwright.writing.drawings.primitives import Anchor, Line, Placed, Primitive, Sheet, Text, View, rectangle
from railwright.writing.drawings.segment_case import (
    SegmentCase,
    between_words,
    datum_mm,
    datum_words,
    saw_words,
    warning_words,
)
from railwright.writing.felt_ends import FELT_ENDS
from railwright.writing.numbers import fixed, plain
from railwright.writing.safety import SAFETY_WORDS
from railwright.writing.saw_hand import lean_words, strokes

WIDTH, HEIGHT, MARGIN = 297.0, 210.0, 8.0
#: Scales of ISO 5455 with the usual steps between them, largest first: paper mm to a real mm, and its name.
SCALES = ((1.0, "1:1"), (0.5, "1:2"), (0.4, "1:2.5"), (1 / 3, "1:3"), (0.25, "1:4"), (0.2, "1:5"), (0.1, "1:10"))
_ROOM = 238.0
_PLAN_Y, _ELEVATION_Y, _END_Y = 154.0, 112.0, 42.0
_END_TALLEST, _END_LEFT, _END_STEP = 50.0, 134.0, 27.0
_TITLE_LEFT = 222.0
#: Room that the warning takes beside the heading.
_WARNING_ROOM = 130.0
#: What the lines mean.
LEGEND = (
    "Felt up, feet below. Dashed round a foot: so far it may slide; other dashes: hollow or notch. Pale band: the wire "
    "stands there (95 %). Cross: guide-rail screw. Grey: strings."
)
_FELT = f"Felt: {FELT_ENDS[0].lower()}{FELT_ENDS[1:]}"


def scale_of(length_mm: float) -> tuple[float, str]:
    """Choose the largest scale at which a segment fits the sheet."""
    return next((scale for scale in SCALES if length_mm * scale[0] <= _ROOM), SCALES[-1])


def segment_sheet(case: SegmentCase, to_scale: bool = True) -> Sheet:
    """Lay the drawing of a segment out on paper.

    Args:
        case: the segment.
        to_scale: the sheet is shown in its own size; one that is fitted to a page claims no scale.

    Returns:
        The sheet; the same model serves every file format.
    """
    scale, scale_name = scale_of(case.carrier.length_mm)
    left = 30.0 + (_ROOM - case.carrier.length_mm * scale) / 2.0 - datum_mm(case) * scale
    up = rows_of(case, scale).up
    plan = Placed(plan_view(case, scale), scale, (left, _PLAN_Y if up else _PLAN_Y + 14.0))
    front = Placed(elevation(case, scale), scale, (left, _ELEVATION_Y))
    words = f"{scale_name} on A4, printed at 100 %" if to_scale else "not to scale"
    paper = View("Sheet", tuple(_paper(case, words)))
    return Sheet(
        WIDTH,
        HEIGHT,
        f"Segment {case.section.section} of order {case.order_no}",
        description(case),
        (plan, front, *_ends(case), Placed(paper, 1.0, (0.0, 0.0))),
    )


def description(case: SegmentCase) -> str:
    """Describe the drawing for readers who cannot see it."""
    datum = datum_mm(case)
    places = ", ".join(
        f"{number}: {fixed(station.x_mm - datum)} mm {between_words(case.section, station)}"
        for number, station in enumerate(case.section.stations, start=1)
    )
    return (
        f"{case.section.register or 'Section'} section {case.section.section}. Carrier {case.carrier.item}, "
        f"{fixed(case.carrier.length_mm)} mm over the long points, saw {saw_words(case)}. "
        f"Stations from {datum_words(case)}: {places or 'none'}."
    )


def _ends(case: SegmentCase) -> Iterator[Placed]:
    stacks = end_stacks(case)
    wide = max(case.carrier.width_mm, case.felt.width_mm)
    scale = min(2.0, _END_TALLEST / max(tallest(stacks), 1.0), (_END_STEP - 7.0) / wide)
    for column, (stack, lifted) in enumerate((stack, lifted) for stack in stacks for lifted in (False, True)):
        yield Placed(end_view(case, stack, lifted, scale), scale, (_END_LEFT + _END_STEP * (column % 4), _END_Y))


def _paper(case: SegmentCase, scale_words: str) -> Iterator[Primitive]:
    yield rectangle(MARGIN, MARGIN, WIDTH - MARGIN, HEIGHT - MARGIN, layers.FRAME)
    across = WIDTH - 2.0 * (MARGIN + 3.0)
    heading, letters = fitted(_heading(case), across - _WARNING_ROOM if warning_words(case) else across, 4.0)
    yield Text((MARGIN + 3.0, HEIGHT - 12.5), heading, layers.WORDS, letters, bold=True)
    instrument, letters = fitted(_instrument(case), across, 2.6)
    yield Text((MARGIN + 3.0, HEIGHT - 18.5), instrument, layers.WORDS, letters)
    yield Text((WIDTH - MARGIN - 3.0, HEIGHT - 12.5), warning_words(case), layers.WARNING, 4.0, "end", bold=True)
    distances = f"All distances in mm from {datum_words(case)}. {_lean(case)}"
    yield Text((MARGIN + 3.0, 104.0 - 2.0), distances, layers.WORDS, 2.2)
    yield from _table(case, 98.0)
    yield from _title_block(case, scale_words)
    legend, letters = fitted(LEGEND, across, 2.3)
    yield Text((MARGIN + 3.0, 18.4), legend, layers.WORDS, letters)
    for line, words in enumerate((" ".join(SAFETY_WORDS[:3]), " ".join((*SAFETY_WORDS[3:], _FELT)))):
        yield Text((MARGIN + 3.0, 15.0 - 3.4 * line), words, layers.WORDS, 2.3)


def _lean(case: SegmentCase) -> str:
    words = lean_words(case.carrier.saw_hand)
    return f"{words[0].upper()}{words[1:]}."


def _heading(case: SegmentCase) -> str:
    section = case.section
    return f"Order {case.order_no}, segment {section.section} {section.register or ''}".rstrip()


def _instrument(case: SegmentCase) -> str:
    survey = case.survey
    words = [survey.maker, survey.model, f"serial {survey.serial}" if survey.serial else None, survey.site]
    return ", ".join(word for word in words if word)


def _rows(case: SegmentCase) -> Iterator[tuple[str, str, str, str]]:
    """List stations by number, then reliefs: name, distance, place, figures."""
    datum = datum_mm(case)
    for number, station in enumerate(case.section.stations, start=1):
        place = between_words(case.section, station).removeprefix("beyond the wires, ")
        yield f"station {number}", fixed(station.x_mm - datum), place, f"shim {fixed(station.shim_mm)}"
    for relief in case.section.reliefs:
        name, cut = ("hollow", "underside") if relief.kind == "screw" else ("notch", "right through")
        deep = f", {fixed(relief.depth_mm)} deep" if relief.kind == "screw" else ""
        figures = f"{fixed(relief.slot_mm)} long, {fixed(relief.reach_mm)} in{deep}"
        yield name, fixed(relief.x_mm - datum), f"{cut}, from the edge at the wires", figures


def _table(case: SegmentCase, top: float) -> Iterator[Primitive]:
    rows = list(_rows(case))
    step = min(4.2, 76.0 / max(len(rows) + 1, 1))
    letters = min(2.3, step * 0.62)
    columns: Sequence[tuple[float, Anchor]] = ((11.0, "start"), (41.0, "end"), (45.0, "start"), (88.0, "start"))
    for line, cells in enumerate((("", "from low end", "where", ""), *rows)):
        for (x, anchor), words in zip(columns, cells, strict=True):
            at = (x, top - step * line)
            yield Text(at, words, layers.WORDS, min(letters, 72.0 / max(len(words), 1)), anchor, bold=line == 0)
    yield Line((MARGIN + 2.0, top - step / 2), (116.0, top - step / 2), layers.FRAME)


def _bands(case: SegmentCase) -> str:
    """Say how well the wires' places are known."""
    if case.spacing is None or not len(case.spacing.x_mm):
        return "no wires"
    bands = case.spacing.u95_mm
    return f"within {fixed(float(bands.min()))} to {fixed(float(bands.max()))} either way"


def _title_block(case: SegmentCase, scale_words: str) -> Iterator[Primitive]:
    carrier, section = case.carrier, case.section
    names = {part.item: part.name for part in case.book.hardware}
    felt = " x ".join(plain(size) for size in (case.felt.length_mm, case.felt.width_mm, case.felt.thickness_mm))
    lines = (
        ("Order", case.order_no),
        ("Section", f"{section.section} {section.register or ''}, {section.side or 'side open'} of wires"),
        ("Carrier", f"{carrier.item}, {plain(carrier.width_mm)} x {plain(carrier.height_mm)}"),
        ("Long points", f"{fixed(carrier.length_mm)}"),
        ("Each edge", f"{fixed(carrier.edge_mm)}"),
        ("Saw both ends", f"{saw_words(case)}  {strokes(case.carrier.saw_hand)}"),
        ("Felt", f"{case.felt.item}, {felt}"),
        ("Foot", f"{section.foot or 'none'} {names.get(section.foot or '', '')}".strip()),
        ("Crank", f"{section.crank or 'none'}, lift {fixed(section.lift_mm)}" if section.lift_mm else "none"),
        ("Wires, 95 %", _bands(case)),
        ("Surveyed", str(case.survey.survey_date or "no date")),
        ("Shop book", case.book.name),
        ("Scale", scale_words),
    )
    top, step = 102.0, 5.8
    yield rectangle(_TITLE_LEFT + 20.0, top - step * len(lines), WIDTH - MARGIN, top, layers.FRAME)
    for line, (name, words) in enumerate(lines):
        y = top - step * (line + 0.5)
        yield Text((_TITLE_LEFT + 22.0, y), name, layers.QUIET, 1.9)
        words, letters = fitted(words, WIDTH - MARGIN - _TITLE_LEFT - 38.0, 2.3, least_mm=1.2)
        yield Text((_TITLE_LEFT + 37.0, y), words, layers.WORDS, letters)
        if line:
            yield Line((_TITLE_LEFT + 20.0, y + step / 2), (WIDTH - MARGIN, y + step / 2), layers.FRAME)
