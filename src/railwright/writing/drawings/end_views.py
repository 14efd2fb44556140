"""The stack across the rail at both ends of a segment, lowered and lifted, with its heights in figures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from railwright.computing.heights import EndHeights
from railwright.writing.drawings import layers
from railwright.writing.drawings.primitives import Line, Primitive, Text, View, rectangle
from railwright.writing.drawings.segment_case import SegmentCase, stack_at
from railwright.writing.numbers import fixed


@dataclass(frozen=True, slots=True)
class EndStack:
    """The heights at one end, mm: what is stacked there, where the string is, how far it presses into the felt.

    ``shim`` is how far shims raise the segment there: the slope of the stations' shims goes on to the ends.
    """

    name: str
    foot: float
    shim: float
    carrier: float
    felt: float
    string: EndHeights | None
    lift: float | None
    press: float | None = None

    @property
    def height(self) -> float:
        """Height of the felt's top above the rail, lowered."""
        return self.foot + self.shim + self.carrier + self.felt


def end_stacks(case: SegmentCase) -> tuple[EndStack, EndStack]:
    """Give the stack at the low and at the high end of a segment, as high as it was reckoned there."""
    section, loads = case.section, case.section.loads
    places = (case.carrier.start_mm, case.carrier.end_mm)
    heights = (section.stack_low_mm, section.stack_high_mm)
    strings = (case.heights.low, case.heights.high) if case.heights else (None, None)
    presses = (loads[0].press_mm, loads[-1].press_mm) if loads else (None, None)
    level = stack_at(case, places[0], shim=0.0)
    low, high = (
        EndStack(
            name,
            section.foot_height_mm or 0.0,
            (stack_at(case, x) if height is None else height) - level,
            case.carrier.height_mm,
            case.felt.thickness_mm,
            string,
            section.lift_mm,
            press,
        )
        for name, x, height, string, press in zip(
            ("low end", "high end"), places, heights, strings, presses, strict=True
        )
    )
    return low, high


def tallest(stacks: tuple[EndStack, ...]) -> float:
    """Give the highest thing that the end views show, mm."""
    strings = [stack.string.rest_mm for stack in stacks if stack.string]
    return max([stack.height + (stack.lift or 0.0) for stack in stacks] + strings)


def end_view(case: SegmentCase, stack: EndStack, lifted: bool, scale: float) -> View:
    """Draw one end's stack across the rail.

    Args:
        case: the segment.
        stack: one of ``end_stacks``.
        lifted: with the hand lever pulled.
        scale: paper mm to a real mm that the view will be shown at.

    Returns:
        The view; x = 0 in the middle of the carrier, y = 0 on the guide rail; words below the rail.
    """
    half = max(case.carrier.width_mm, case.felt.width_mm) / 2.0
    reach = half + 2.0 / scale
    title = f"{stack.name}, {'lifted' if lifted else 'lowered'}"
    return View(
        title,
        (
            Line((-reach, 0.0), (reach, 0.0), layers.LEVEL),
            *_pile(case, stack, stack.lift or 0.0 if lifted else 0.0),
            *_string(stack, lifted, reach),
            Text((0.0, -3.0 / scale), title, layers.WORDS, 2.2, "middle", bold=True),
            *_figures(stack, lifted, scale),
        ),
    )


def _pile(case: SegmentCase, stack: EndStack, raised: float) -> Iterator[Primitive]:
    half, foot = case.carrier.width_mm / 2.0, case.carrier.width_mm / 4.0
    base = stack.foot + stack.shim + raised
    yield rectangle(-foot, raised, foot, base, layers.STATION)
    yield rectangle(-half, base, half, base + stack.carrier, layers.CARRIER)
    wide = case.felt.width_mm / 2.0
    yield rectangle(-wide, base + stack.carrier, wide, base + stack.carrier + stack.felt, layers.FELT)


def _string(stack: EndStack, lifted: bool, reach: float) -> Iterator[Primitive]:
    """Draw the string: at rest when lifted, at its lowest on a hard blow when lowered."""
    if stack.string:
        y = stack.string.rest_mm if lifted else stack.string.free_mm
        yield Line((-reach, y), (reach, y), layers.DIMENSION)


def figures_of(stack: EndStack, lifted: bool) -> tuple[str, ...]:
    """Spell an end's heights: lowered the room left under the string, lifted how far the felt is pressed."""
    if not lifted:
        lines = [f"stack {fixed(stack.height)}", f"without shims {fixed(stack.height - stack.shim)}"]
        if stack.string:
            lines += [
                f"free height {fixed(stack.string.free_mm)}",
                f"room {fixed(stack.string.free_mm - stack.height)}",
            ]
        return tuple(lines)
    if stack.lift is None:
        return ("no crank chosen",)
    lines = [f"lift {fixed(stack.lift)}"]
    if stack.string:
        lines.append(f"gap at rest {fixed(stack.string.rest_mm)}")
    if stack.press is not None:
        lines.append(f"felt pressed {fixed(stack.press)}")
    return tuple(lines)


def _figures(stack: EndStack, lifted: bool, scale: float) -> Iterator[Primitive]:
    for line, words in enumerate(figures_of(stack, lifted)):
        yield Text((0.0, -(6.4 + 3.2 * line) / scale), words, layers.WORDS, 2.0, "middle")
