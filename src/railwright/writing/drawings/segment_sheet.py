"""One sheet a segment: views, table of stations and reliefs, title block and words of caution on A4 across."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

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
_ACROSS = WIDTH - 2.0 * (MARGIN + 3.0)
#: The lines of the title block, its left and upper edge, and the height of a line.
_BLOCK = (
    "Order", "Section", "Carrier", "Long points", "Each edge", "Saw both ends", "Felt", "Foot", "Crank", "Wires, 95 %",
    "Surveyed", "Shop book", "Scale",
)  # fmt: skip
_BLOCK_LEFT, _BLOCK_TOP, _BLOCK_STEP = 242.0, 102.0, 5.8
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
    _, scale_name = scale_of(case.carrier.length_mm)
    words = f"{scale_name} on A4, printed at 100 %" if to_scale else "not to scale"
    return Sheet(
        WIDTH,
        HEIGHT,
        f"Segment {case.section.section} of order {case.order_no}",
        description(case),
        (*_views(case), _on_paper("Scale", _told(_BLOCK[-1], words)), _form()),
    )


@lru_cache(maxsize=1)  # the sheet in its own size and the one that is fitted to a page are drawn one after the other
def _views(case: SegmentCase) -> tuple[Placed, ...]:
    """Place the segment's views and what the paper says about it, but for the scale."""
    scale, _ = scale_of(case.carrier.length_mm)
    left = 30.0 + (_ROOM - case.carrier.length_mm * scale) / 2.0 - datum_mm(case) * scale
    up = rows_of(case, scale).up
    plan = Placed(plan_view(case, scale), scale, (left, _PLAN_Y if up else _PLAN_Y + 14.0))
    front = Placed(elevation(case, scale), scale, (left, _ELEVATION_Y))
    return plan, front, *_ends(case), _on_paper("Sheet", _paper(case))


def _on_paper(title: str, primitives: Iterable[Primitive]) -> Placed:
    """Place what is measured on the paper itself."""
    return Placed(View(title, tuple(primitives)), 1.0, (0.0, 0.0))


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


def _paper(case: SegmentCase) -> Iterator[Primitive]:
    yield rectangle(MARGIN, MARGIN, WIDTH - MARGIN, HEIGHT - MARGIN, layers.FRAME)
    heading, letters = fitted(_heading(case), _ACROSS - _WARNING_ROOM if warning_words(case) else _ACROSS, 4.0)
    yield Text((MARGIN + 3.0, HEIGHT - 12.5), heading, layers.WORDS, letters, bold=True)
    instrument, letters = fitted(_instrument(case), _ACROSS, 2.6)
    yield Text((MARGIN + 3.0, HEIGHT - 18.5), instrument, layers.WORDS, letters)
    yield Text((WIDTH - MARGIN - 3.0, HEIGHT - 12.5), warning_words(case), layers.WARNING, 4.0, "end", bold=True)
    distances = f"All distances in mm from {datum_words(case)}. {_lean(case)}"
    yield Text((MARGIN + 3.0, 104.0 - 2.0), distances, layers.WORDS, 2.2)
    yield from _table(case, 98.0)
    yield from _title_block(case)


@lru_cache(maxsize=1)
def _form() -> Placed:
    """Give what is the same on every sheet: the title block without its words, the legend, words of caution."""
    return _on_paper("Form", _form_lines())


def _form_lines() -> Iterator[Primitive]:
    yield rectangle(_BLOCK_LEFT, _BLOCK_TOP - _BLOCK_STEP * len(_BLOCK), WIDTH - MARGIN, _BLOCK_TOP, layers.FRAME)
    for line, name in enumerate(_BLOCK):
        y = _block_line(name)
        yield Text((_BLOCK_LEFT + 2.0, y), name, layers.QUIET, 1.9)
        if line:
            yield Line((_BLOCK_LEFT, y + _BLOCK_STEP / 2), (WIDTH - MARGIN, y + _BLOCK_STEP / 2), layers.FRAME)
    legend, letters = fitted(LEGEND, _ACROSS, 2.3)
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


def _title_block(case: SegmentCase) -> Iterator[Primitive]:
    """Write the words of the title block, but for the scale."""
    carrier, section = case.carrier, case.section
    names = {part.item: part.name for part in case.book.hardware}
    felt = " x ".join(plain(size) for size in (case.felt.length_mm, case.felt.width_mm, case.felt.thickness_mm))
    lines = (
        case.order_no,
        f"{section.section} {section.register or ''}, {section.side or 'side open'} of wires",
        f"{carrier.item}, {plain(carrier.width_mm)} x {plain(carrier.height_mm)}",
        f"{fixed(carrier.length_mm)}",
        f"{fixed(carrier.edge_mm)}",
        f"{saw_words(case)}  {strokes(case.carrier.saw_hand)}",
        f"{case.felt.item}, {felt}",
        f"{section.foot or 'none'} {names.get(section.foot or '', '')}".strip(),
        f"{section.crank or 'none'}, lift {fixed(section.lift_mm)}" if section.lift_mm else "none",
        _bands(case),
        str(case.survey.survey_date or "no date"),
        case.book.name,
    )
    for name, words in zip(_BLOCK[:-1], lines, strict=True):
        yield from _told(name, words)


def _told(name: str, words: str) -> Iterator[Primitive]:
    """Write words in the line of the title block that has a name."""
    told, letters = fitted(words, WIDTH - MARGIN - _BLOCK_LEFT - 18.0, 2.3, least_mm=1.2)
    yield Text((_BLOCK_LEFT + 17.0, _block_line(name)), told, layers.WORDS, letters)


def _block_line(name: str) -> float:
    """Give the height on the paper of the middle of a line of the title block, mm."""
    return _BLOCK_TOP - _BLOCK_STEP * (_BLOCK.index(name) + 0.5)
