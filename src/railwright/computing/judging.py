"""What stands in the way of a segment, or is in doubt, with the numbers that a sentence about it needs."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.choice import Design, Option
from railwright.computing.heights import EndHeights, highest_stack
from railwright.computing.judging_gaps import eased_gaps, uneven_gaps
from railwright.computing.outcome import Outcome
from railwright.computing.readings import End, reading_u
from railwright.computing.results import Conflict, spelled
from railwright.computing.segment import Segment, Unit, foot_room
from railwright.computing.stations import gap_spare

Facts = dict[str, float | int | str]

_STEPS_MM = {"in": (("1/16 in", 25.4 / 16), ("1/32 in", 25.4 / 32)), "mm": (("1 mm", 1.0), ("0.5 mm", 0.5))}
"""Finer steps that a tape or rule of each unit offers, coarsest first."""


def conflicts_of(outcome: Outcome) -> tuple[Conflict, ...]:
    """List what is wrong or in doubt with one segment.

    Args:
        outcome: the segment with its best design.

    Returns:
        Conflicts, those of the segment itself first.
    """
    segment, book = outcome.segment, outcome.bench.book
    found = [*segment.conflicts, *_lift_doubt(segment, book)]
    if outcome.miss and not outcome.searched_whole:
        found.append(Conflict("misfit_not_proven", segment.section.number, None, {}))
    if outcome.design is None:
        return (*found, _none(outcome))
    if outcome.easing is not None:
        found.append(eased_gaps(segment, outcome.easing))
    if not outcome.miss and not outcome.design.proven:
        found.append(Conflict("choice_not_proven", segment.section.number, None, {}))
    found += _stack(outcome, outcome.design)
    found += _ends(outcome, outcome.design)
    found += _sides(outcome, outcome.design)
    if outcome.miss == "lift":
        found.append(_lift(outcome, outcome.design))
    return tuple(found)


def _ends_of(segment: Segment) -> tuple[tuple[End, EndHeights, float, float], ...]:
    """Both ends: their heights, the outer string's place and the segment's end, mm."""
    low, high = segment.heights.low, segment.heights.high
    return (
        ("low", low, float(segment.strings[0]), segment.start_mm),
        ("high", high, float(segment.strings[-1]), segment.end_mm),
    )


def stack_at(segment: Segment, design: Design, x_mm: float) -> float:
    """Lowered stack at a place of the line: foot, carrier, felt, shim, and half a step where shims are tilted, mm."""
    line = float(segment.levelling.line(np.array([x_mm]))[0])
    return design.option.stack_mm + design.base_shim_mm + line + segment.levelling.rounding_mm


def end_stacks_mm(segment: Segment, design: Design) -> tuple[float, float]:
    """Lowered stack at both ends, each the higher of those at the outer string and at the end of the segment, mm."""
    low, high = (
        max(stack_at(segment, design, string), stack_at(segment, design, edge))
        for _, _, string, edge in _ends_of(segment)
    )
    return low, high


def _stack(outcome: Outcome, design: Design) -> Iterator[Conflict]:
    """The stack against the free height at either end: too tall, or only within doubt."""
    segment, book = outcome.segment, outcome.bench.book
    clearance, z_p = book.value("rest_clearance"), book.value("z_p")
    ends = _ends_of(segment)
    for (end, heights, _, _), stack in zip(ends, end_stacks_mm(segment, design), strict=True):
        if stack <= highest_stack(heights.free_mm, heights.u_free_mm, clearance, z_p) + 1e-6:
            continue
        fits = stack <= highest_stack(heights.free_mm, heights.u_free_mm, clearance, 0.0) + 1e-6
        uneven = None if fits else uneven_gaps(segment, design, end, heights, stack, book)
        if uneven is not None:
            yield uneven
            continue
        rule = "stack_within_doubt" if fits else "stack_too_tall"
        facts = _stack_facts(segment, design, end, heights, stack, book)
        yield Conflict(rule, segment.section.number, heights.free_field, facts)


def _stack_facts(
    segment: Segment, design: Design, end: End, heights: EndHeights, stack: float, book: ShopBook
) -> Facts:
    clearance, z_p = book.value("rest_clearance"), book.value("z_p")
    option = design.option
    gauge = stack + clearance + z_p * book.value("gauge_tol")
    by_gauge = heights.gauged
    swing = 0.0 if by_gauge else heights.read_rest_mm - heights.free_mm
    spare = heights.free_mm - clearance - stack
    return {
        "end": end,
        "carrier": option.bar.carrier.item,
        "felt": option.felt.item,
        "foot": option.foot.item,
        "stack_mm": stack,
        "free_mm": heights.free_mm,
        "clearance_mm": clearance,
        "guard_mm": z_p * heights.u_free_mm,
        "short_mm": stack + clearance + z_p * heights.u_free_mm - heights.free_mm,
        "read_mm": heights.free_mm + swing,
        "needed_mm": stack + clearance + z_p * heights.u_free_mm + swing,
        "gauge_mm": gauge,
        "finer_step": "" if by_gauge else finer_step(spare, segment.unit, book),
        "kind": "clear gauge" if by_gauge else "gap at rest",
        "stack": spelled(stack),
        "free": spelled(heights.free_mm),
        "guard": spelled(z_p * heights.u_free_mm),
        "read": spelled(heights.free_mm + swing),
        "needed": spelled(stack + clearance + z_p * heights.u_free_mm + swing),
        "gauge": spelled(gauge),
    }


def finer_step(spare_mm: float, unit: Unit, book: ShopBook) -> str:
    """Name the coarsest reading step whose guard the spare height would cover; empty where none would."""
    for name, step in _STEPS_MM[unit]:
        if book.value("z_p") * reading_u(step, book.value("u_set")) <= spare_mm + 1e-9:
            return name
    return ""


def _lift_doubt(segment: Segment, book: ShopBook) -> Iterator[Conflict]:
    """The gap at rest less sure than the trim can take up at fitting."""
    trim, z_p = book.value("trim"), book.value("z_p")
    for end, heights, _, _ in _ends_of(segment):
        doubt = z_p * heights.u_rest_mm
        if doubt > trim + 1e-9:
            facts: Facts = {
                "end": end,
                "rest_mm": heights.rest_mm,
                "doubt_mm": doubt,
                "trim_mm": trim,
                "rest": spelled(heights.rest_mm),
                "doubt": spelled(doubt),
                "trim": spelled(trim),
                "finer_step": finer_step(trim, segment.unit, book),
            }
            yield Conflict("lift_doubt_beyond_trim", segment.section.number, segment.section.key(f"rest_{end}"), facts)


def _ends(outcome: Outcome, design: Design) -> Iterator[Conflict]:
    """An end that stands out far where nobody measured the room."""
    segment, book = outcome.segment, outcome.bench.book
    bar, usual = design.option.bar, book.value("room_usual")
    outs: tuple[tuple[End, float | None, float], ...] = (
        ("low", segment.ends.room_low_mm, segment.ends.out_low_mm - bar.shift_mm + bar.mitre_mm / 2),
        ("high", segment.ends.room_high_mm, segment.ends.out_high_mm + bar.shift_mm + bar.mitre_mm / 2),
    )
    for end, room, out in outs:
        if room is None and out > usual:
            facts: Facts = {"end": end, "out_mm": out, "usual_mm": usual, "out": spelled(out), "usual": spelled(usual)}
            yield Conflict("end_room_unread", segment.section.number, segment.section.key(f"room_{end}"), facts)


def _sides(outcome: Outcome, design: Design) -> Iterator[Conflict]:
    """A side that holds only while a default is true."""
    bar, room, number = design.option.bar, outcome.segment.side_room, outcome.segment.section.number
    if bar.sure:
        return
    need = bar.carrier.width_mm + outcome.bench.book.value("wire_clearance")
    rear = bar.side == "rear"
    value, doubt = (room.rear_mm, room.rear_doubt_mm) if rear else (room.front_mm, room.front_doubt_mm)
    if value - doubt < need:
        facts: Facts = {
            "side": bar.side,
            "ledge_mm": value,
            "needed_mm": need,
            "doubt_mm": doubt,
            "ledge": spelled(value),
            "needed": spelled(need),
            "doubt": spelled(doubt),
            "carrier": bar.carrier.item,
        }
        yield Conflict("side_rests_on_default", number, "ledge_rear" if rear else "ledge_front", facts)
        return
    yield from _notch_doubt(outcome, design)


def _notch_doubt(outcome: Outcome, design: Design) -> Iterator[Conflict]:
    segment, width = outcome.segment, design.option.bar.carrier.width_mm
    depth = max(segment.side_room.notches_mm)
    doubt = max(segment.side_room.notch_doubts_mm)
    end = "low" if segment.section.hole_low else "high"
    facts: Facts = {
        "depth_mm": depth,
        "doubt_mm": doubt,
        "half_mm": width / 2,
        "depth": spelled(depth),
        "doubt": spelled(doubt),
        "half": spelled(width / 2),
        "carrier": design.option.bar.carrier.item,
    }
    yield Conflict("notch_rests_on_default", segment.section.number, segment.section.key(f"hole_offset_{end}"), facts)


def _lift(outcome: Outcome, design: Design) -> Conflict:
    """No crank gives the lift that would press the felt."""
    segment, book = outcome.segment, outcome.bench.book
    lifts = [part.size_mm for part in book.parts("crank")]
    least, most = min(lifts, default=0.0), max(lifts, default=0.0)
    facts: Facts = {
        "lift_mm": design.lift_mm,
        "least_mm": least,
        "most_mm": most,
        "rest_mm": segment.levelling.gap_mm,
        "stack_mm": design.option.stack_mm,
        "lift": spelled(design.lift_mm),
        "least": spelled(least),
        "most": spelled(most),
        "rest": spelled(segment.levelling.gap_mm),
        "stack": spelled(design.option.stack_mm),
    }
    return Conflict("lift_beyond_cranks", segment.section.number, segment.heights.low.rest_field, facts)


def _none(outcome: Outcome) -> Conflict:
    """Say why there is no design at all."""
    why = {"side": _no_side, "station": _no_station, "felt": _felt, "long": _too_long}
    return why.get(outcome.miss, _no_parts)(outcome)


def _no_side(outcome: Outcome) -> Conflict:
    segment, room = outcome.segment, outcome.segment.side_room
    number, narrowest = segment.section.number, min(carrier.width_mm for carrier, _ in outcome.sides)
    need = narrowest + outcome.bench.book.value("wire_clearance")
    if all(choice.reason == "notch" for _, choice in outcome.sides):
        end = "low" if segment.section.hole_low else "high"
        widest = max(carrier.width_mm for carrier, _ in outcome.sides)
        depth = max(room.notches_mm)
        facts: Facts = {"depth_mm": depth, "half_mm": widest / 2, "depth": spelled(depth), "half": spelled(widest / 2)}
        return Conflict("notch_too_deep", number, segment.section.key(f"hole_offset_{end}"), facts)
    return Conflict(
        "no_side_free",
        number,
        segment.section.key("strut") if room.strut else "ledge_rear",
        {
            "strut": "yes" if room.strut else "no",
            "rear_mm": room.rear_mm,
            "front_mm": room.front_mm,
            "needed_mm": need,
            "rear": spelled(room.rear_mm),
            "front": spelled(room.front_mm),
            "needed": spelled(need),
            "notch": spelled(max(room.notches_mm, default=0.0)),
        },
    )


def _too_long(outcome: Outcome) -> Conflict:
    """No carrier, or no felt, is to be had in one piece of that length."""
    segment, book = outcome.segment, outcome.bench.book

    def longest(option: Option) -> float:
        return min(book.longest_mm(option.bar.carrier.item), book.longest_mm(option.felt.item))

    nearest = max(outcome.options, key=lambda option: longest(option) - option.bar.length_mm)
    item = min((nearest.bar.carrier.item, nearest.felt.item), key=book.longest_mm)
    reach = segment.reach_measured and segment.span_mm > (segment.section.span_mm or 0.0)
    facts: Facts = {
        "item": item,
        "length": f"{nearest.bar.length_mm:.1f}",
        "longest": f"{book.longest_mm(item):.1f}",
        "reading": "reach" if reach else "span",
    }
    field = "top_reach" if reach else segment.section.key("span")
    return Conflict("piece_longer_than_stock", segment.section.number, field, facts)


def _no_station(outcome: Outcome) -> Conflict:
    """No two gaps hold a foot near enough to the ends."""
    segment, book = outcome.segment, outcome.bench.book
    facts: Facts = {"places": len(segment.places.gap), "overhang_mm": book.value("overhang_max")}
    facts["overhang"] = spelled(book.value("overhang_max"))
    facts["foot"] = spelled(book.value("foot_width"))
    if segment.spacing is not None:
        room = foot_room(segment.wire_mm, book)
        spare = gap_spare(segment.spacing, room)
        facts |= {"gaps": int(spare.size), "narrow": int((spare < 0.0).sum()), "screws": len(segment.screws)}
        facts["gap"] = spelled(float(np.diff(segment.spacing.x_mm).max()))
        facts["needed"] = spelled(2 * float(room.from_wire(segment.spacing.u95_mm).min()))
    else:
        facts |= {"gaps": 0, "narrow": 0, "screws": 0, "gap": "", "needed": ""}
    return Conflict("no_station_gap", segment.section.number, segment.section.key("dampers"), facts)


def _shims(outcome: Outcome) -> Conflict:
    """The gap at rest differs more between the ends than shims and felt can take up."""
    levelling, book = outcome.segment.levelling, outcome.bench.book
    low, high = outcome.segment.heights.low, outcome.segment.heights.high
    facts: Facts = {
        "tilt_mm": abs(levelling.tilt_mm),
        "most_mm": book.value("shim_max"),
        "low_mm": low.rest_mm,
        "high_mm": high.rest_mm,
        "tilt": spelled(abs(levelling.tilt_mm)),
        "most": spelled(book.value("shim_max")),
        "low": spelled(low.rest_mm),
        "high": spelled(high.rest_mm),
    }
    return Conflict("shims_too_high", outcome.segment.section.number, high.rest_field, facts)


def _felt(outcome: Outcome) -> Conflict:
    """Whatever the lift, the felt is pressed too much at one string or too little at another."""
    segment, book = outcome.segment, outcome.bench.book
    if abs(segment.levelling.tilt_mm) > abs(segment.levelling.shimmed_mm) + 1e-9:
        return _shims(outcome)
    thickest = max(felt.thickness_mm for felt in book.felts)
    left = abs(segment.levelling.tilt_mm) - abs(segment.levelling.shimmed_mm)
    window = book.value("working") * thickest - book.value("delta_min")
    facts: Facts = {
        "window_mm": window,
        "left_mm": left,
        "thickest_mm": thickest,
        "window": spelled(window),
        "left": spelled(left),
        "thickest": spelled(thickest),
        "low": spelled(segment.heights.low.rest_mm),
        "high": spelled(segment.heights.high.rest_mm),
    }
    return Conflict("felt_out_of_range", segment.section.number, segment.heights.high.rest_field, facts)


def _no_parts(outcome: Outcome) -> Conflict:
    """The shop book offers nothing to choose from."""
    book = outcome.bench.book
    facts: Facts = {"carriers": len(book.carriers), "felts": len(book.felts), "feet": len(book.parts("foot"))}
    return Conflict("no_parts_to_choose", outcome.segment.section.number, None, facts)
