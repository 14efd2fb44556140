"""Fit one instrument: parts, stations, shims, lifts and cuts of every section, and what stands in the way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from railwright.book.model import Hardware, ShopBook
from railwright.computing import readings
from railwright.computing.beam import Beam, Contact, press
from railwright.computing.choice import Design, bar_weight, cheapest, reach_of_hollows
from railwright.computing.judging import conflicts_of, end_stacks_mm, stack_at
from railwright.computing.lever import Choice, lever_force, lightest_cost
from railwright.computing.notes_of_sections import SectionNotes, top_damped
from railwright.computing.outcome import Outcome, lifts_of, outcome_of, tightest_of
from railwright.computing.reliefs import hollow_depth, hollow_width, notch_width, screw_relief, wire_relief
from railwright.computing.results import (
    Array,
    CarrierCut,
    Conflict,
    DefaultUsed,
    FeltCut,
    InstrumentResult,
    NoteLoad,
    Relief,
    SectionResult,
    Slip,
    Spacing,
    Station,
    spelled,
)
from railwright.computing.screws import head_diameter
from railwright.computing.segment import Segment, segment_of
from railwright.computing.skew import saw
from railwright.survey.records import SectionSurvey, Survey


def fit_instrument(
    survey: Survey,
    spacings: Mapping[int, Spacing | None],
    notes: Sequence[SectionNotes],
    slips: Mapping[int, Slip | None],
    book: ShopBook,
) -> tuple[InstrumentResult, tuple[Outcome | None, ...]]:
    """Fit every section of one instrument and the lever that couples them.

    Args:
        survey: the instrument's readings.
        spacings: wires of every section by its number; ``None`` or absent where they cannot be had.
        notes: notes of every section, in the survey's order.
        slips: what readings that disagree look like, by section number; ``None`` or absent where they agree.
        book: catalogue and rule values.

    Returns:
        Sizes, parts and conflicts; a section that lacks a reading has ``None`` where a value cannot be had. Besides,
        what came of the choice for every section by itself, before the lever was asked.
    """
    top = top_damped(survey.sections)
    segments = [
        segment_of(section, note, spacings.get(section.number), place == top, survey, book)
        for place, (section, note) in enumerate(zip(survey.sections, notes, strict=True))
    ]
    alone = [None if segment is None else outcome_of(segment, book) for segment in segments]
    outcomes, heavy = _within_lever(alone, book)
    results = tuple(
        _section_result(section, note, spacings.get(section.number), slips.get(section.number), outcome, survey, book)
        for section, note, outcome in zip(survey.sections, notes, outcomes, strict=True)
    )
    instrument = InstrumentResult(
        sections=tuple(_without_shared(result) for result in results),
        lever_force_n=_lever_force(results, book),
        conflicts=heavy,
        defaults=_shared(results, survey, book),
    )
    return instrument, tuple(alone)


def _section_result(
    section: SectionSurvey,
    note: SectionNotes,
    spacing: Spacing | None,
    slip: Slip | None,
    outcome: Outcome | None,
    survey: Survey,
    book: ShopBook,
) -> SectionResult:
    """Write down what is known of a section, with its design where there is one."""
    angle = readings.theta(section, book)
    bare = SectionResult(
        section=section.number,
        register=section.register,
        first_note=note.first_note,
        last_note=note.last_note,
        dampers=section.dampers,
        spacing=spacing,
        slip=slip,
        theta_deg=None if angle is None else angle[0],
        u_theta_deg=None if angle is None else angle[1],
        span_mm=section.span_mm,
    )
    if outcome is None:
        return bare
    segment = outcome.segment
    known = replace(
        bare,
        span_mm=segment.span_mm,
        screws_x_mm=tuple(screw.x_mm for screw in segment.screws),
        conflicts=conflicts_of(outcome) + _reach_note(segment),
        defaults=segment.defaults,
        searched_strings=outcome.searched_strings,
    )
    return known if outcome.design is None else _designed(known, segment, outcome.design, survey, book)


def _designed(known: SectionResult, segment: Segment, design: Design, survey: Survey, book: ShopBook) -> SectionResult:
    """Add the parts, the heights and how the segment bends."""
    bar, carrier, felt = design.option.bar, design.option.bar.carrier, design.option.felt
    _, contact = pressed(segment, design, book)
    _, tight = tightest_of(segment, book, guarded=True)
    share = segment.share(np.array([tight]))
    stack_low, stack_high = end_stacks_mm(segment, design)
    return replace(
        known,
        side=bar.side,
        offset_mm=bar.offset_mm,
        carrier=carrier_cut(segment, design, book),
        felt=FeltCut(felt.item, bar.length_mm, carrier.width_mm, felt.thickness_mm),
        foot=design.option.foot.item,
        foot_height_mm=design.option.foot.size_mm,
        stations=_stations(segment, design, contact),
        reliefs=_reliefs(segment, design, survey, book),
        loads=_loads(segment, design, contact),
        stack_mm=stack_at(segment, design, tight),
        stack_low_mm=stack_low,
        stack_high_mm=stack_high,
        free_mm=float(segment.heights.free(share)[0]),
        guard_mm=book.value("z_p") * float(segment.heights.u_free(share)[0]),
        crank=_crank(design.lift_mm, book),
        lift_mm=design.lift_mm,
        deflection_mm=contact.sag_mm,
        press_min_mm=float(contact.pressing.min()),
        press_max_mm=float(contact.pressing.max()),
        press_force_n=float(contact.force.sum()),
        contact_rounds=contact.rounds,
        contact_settled=contact.converged,
        cost=design.cost,
        defaults=_relevant(known.defaults, bar.side, segment),
    )


def carrier_cut(segment: Segment, design: Design, book: ShopBook) -> CarrierCut:
    """Give the bar of a segment with its mitred ends."""
    bar, carrier = design.option.bar, design.option.bar.carrier
    angle, hand = saw(segment.theta_deg, book.value("square_below"))
    start, end = segment.start_mm + bar.shift_mm, segment.end_mm + bar.shift_mm
    return CarrierCut(
        carrier.item, end - start, bar.length_mm, angle, hand, start, end, carrier.width_mm, carrier.height_mm
    )


def pressed(segment: Segment, design: Design, book: ShopBook) -> tuple[Beam, Contact]:
    """Bend a design against its strings by direct stiffness.

    Args:
        segment: the section's segment.
        design: its parts.
        book: rule values.

    Returns:
        The beam, in the strings' own x, and how it presses every string.
    """
    levelling, option = segment.levelling, design.option
    stations = segment.places.x_mm[list(design.places)] - option.bar.shift_mm
    settlement = levelling.line(stations) - levelling.steps(stations)
    beam = Beam(segment.start_mm, segment.end_mm, option.bar.ei, bar_weight(option), stations, settlement)
    raised = design.lift_mm + option.stack_mm + design.base_shim_mm + levelling.line(segment.strings)
    return beam, press(
        beam, segment.strings, segment.forces, raised - segment.heights.rest(segment.share(segment.strings))
    )


def _stations(segment: Segment, design: Design, contact: Contact) -> tuple[Station, ...]:
    places = list(design.places)
    x = segment.places.x_mm[places]
    shims = design.base_shim_mm + segment.levelling.steps(x - design.option.bar.shift_mm)
    gaps = [segment.places.gap[place] for place in places]
    reactions = contact.bent.reactions
    return tuple(
        Station(gap, float(at), round(float(shim), 6) + 0.0, float(reaction))
        for gap, at, shim, reaction in zip(gaps, x, shims, reactions, strict=True)
    )


def _loads(segment: Segment, design: Design, contact: Contact) -> tuple[NoteLoad, ...]:
    x: Array = segment.strings + design.option.bar.shift_mm
    return tuple(
        NoteLoad(segment.first_note + i, float(x[i]), count, float(contact.force[i]), float(contact.pressing[i]))
        for i, count in enumerate(segment.counts)
    )


def _reliefs(segment: Segment, design: Design, survey: Survey, book: ShopBook) -> tuple[Relief, ...]:
    reliefs = [*_screw_reliefs(segment, design, book), *_notches(segment, design, survey, book)]
    return tuple(sorted(reliefs, key=lambda relief: relief.x_mm))


def _screw_reliefs(segment: Segment, design: Design, book: ShopBook) -> list[Relief]:
    """Hollows over the screws that the carrier passes too low."""
    bar = design.option.bar
    reach = reach_of_hollows(bar, book) if segment.screws else 0.0
    if reach == 0.0:
        return []
    clearance, proud = book.value("screw_clearance"), book.value("guide_screw_proud")
    width = hollow_width(head_diameter(book.text("guide_screw")), clearance)
    found = []
    for screw in segment.screws:
        at = screw.x_mm - bar.shift_mm
        shim = design.base_shim_mm + float(segment.levelling.line(np.array([at]))[0])
        depth = hollow_depth(proud, design.option.foot.size_mm + max(shim, 0.0), clearance)
        relief = screw_relief(screw, width, clearance, depth, reach)
        beyond = (relief.slot_mm + bar.mitre_mm) / 2
        if depth > 0.0 and segment.start_mm - beyond < at < segment.end_mm + beyond:
            found.append(relief)
    return found


def _notches(segment: Segment, design: Design, survey: Survey, book: ShopBook) -> list[Relief]:
    """Notches of a front segment for end wires that stand out of line."""
    spacing, bar = segment.spacing, design.option.bar
    if spacing is None or bar.side != "front":
        return []
    width = notch_width(segment.wire_mm, book.value("wire_clearance"))
    ends: tuple[tuple[readings.End, int], ...] = (("low", 0), ("high", -1))
    depths = [(readings.hole_offset(segment.section, end, survey, book).value, wire) for end, wire in ends]
    return [
        wire_relief(float(spacing.x_mm[wire]), float(spacing.u_mm[wire]), width, depth)
        for depth, wire in depths
        if depth > 0.0
    ]


def _crank(lift_mm: float, book: ShopBook) -> str | None:
    """Item of the cheapest crank of a lift; ``None`` where the shop book has none."""
    cranks: list[Hardware] = [part for part in book.parts("crank") if part.size_mm == lift_mm]
    return min(cranks, key=lambda part: (book.price_each(part.item) or 0.0, part.item)).item if cranks else None


def _reach_note(segment: Segment) -> tuple[Conflict, ...]:
    """Say that the length of a top segment was reckoned, not measured."""
    used = [default for default in segment.defaults if default.field == "top_reach"]
    number = segment.section.number
    facts: dict[str, float | int | str] = {"reach_mm": segment.span_mm, "notes": len(segment.counts)}
    facts["reach"] = spelled(segment.span_mm)
    return tuple(Conflict("reach_reckoned", number, default.field, facts) for default in used)


def _relevant(defaults: tuple[DefaultUsed, ...], side: str, segment: Segment) -> tuple[DefaultUsed, ...]:
    """Drop the ledge that the chosen side does not use."""
    unused = {"ledge_front"} if side == "rear" else {"ledge_rear"} if segment.side_room.strut else set()
    return tuple(default for default in defaults if default.field not in unused)


def _is_shared(default: DefaultUsed) -> bool:
    return default.field in {"wire_diameter", "ledge_front", "ledge_rear", "top_reach", "head_width", "cable_run"}


def _without_shared(result: SectionResult) -> SectionResult:
    return replace(result, defaults=tuple(default for default in result.defaults if not _is_shared(default)))


def _shared(results: Sequence[SectionResult], survey: Survey, book: ShopBook) -> tuple[DefaultUsed, ...]:
    """List the instrument's own defaults once."""
    own = [default for result in results for default in result.defaults if _is_shared(default)]
    own += [
        found.default
        for found in (readings.head_width(survey, book), readings.cable_run(survey, book))
        if found.default
    ]
    return tuple(dict.fromkeys(own))


def _lever_force(results: Sequence[SectionResult], book: ShopBook) -> float | None:
    """Force at the lever; ``None`` while a segment is without a design or a crank."""
    works = [(result.press_force_n, result.lift_mm if result.crank else None) for result in results]
    known = [force * lift for force, lift in works if force is not None and lift is not None]
    if not works or len(known) < len(works):
        return None
    return lever_force(known, book.value("link_stroke"), book.value("lever_ratio"))


def _work(outcome: Outcome, design: Design) -> float:
    return float(outcome.segment.forces.sum()) * design.lift_mm


def _within_lever(outcomes: list[Outcome | None], book: ShopBook) -> tuple[list[Outcome | None], tuple[Conflict, ...]]:
    """Where the lever would be too heavy, choose smaller lifts at the least added cost, or say that none will do."""
    designed = [(o, o.design) for o in outcomes if o is not None and o.design is not None and not o.miss]
    stroke, ratio, most = (book.value(key) for key in ("link_stroke", "lever_ratio", "lever_force"))
    force = lever_force([_work(outcome, design) for outcome, design in designed], stroke, ratio)
    if force <= most + 1e-9:
        return outcomes, ()
    ways = [_ways(outcome, design, book) for outcome, design in designed]
    listed = [
        [Choice(d.cost, _work(outcome, d), place) for place, d in enumerate(some)]
        for (outcome, _), some in zip(designed, ways, strict=True)
    ]
    chosen = lightest_cost(listed, most * stroke * ratio)
    if chosen is None:
        least = lever_force([min(way.work for way in some) for some in listed], stroke, ratio)
        cut_short = any(not outcome.bench.searched_whole for outcome, _ in designed)
        unproven = (Conflict("lever_not_proven", None, None, {}),) if cut_short else ()
        return outcomes, (_too_heavy(force, least, most, ratio), *unproven)
    lighter = iter([some[place] for some, place in zip(ways, chosen, strict=True)])
    return [o if o is None or o.design is None or o.miss else replace(o, design=next(lighter)) for o in outcomes], ()


def _too_heavy(force: float, least: float, most: float, ratio: float) -> Conflict:
    facts = {"force_n": force, "least_n": least, "most_n": most, "ratio": ratio, "ratio_needed": ratio * least / most}
    return Conflict("lever_too_heavy", None, None, facts)


def _ways(outcome: Outcome, design: Design, book: ShopBook) -> list[Design]:
    """The chosen design and the best for every smaller greatest lift, under the same limits and in the same order."""
    ways = [design]
    lifts = tuple(lift for lift in lifts_of(book) if lift < design.lift_mm - 1e-9)
    while lifts and outcome.limits is not None:
        found = cheapest(outcome.bench, outcome.options, replace(outcome.limits, lifts=lifts), outcome.order)
        if found is None:
            break
        ways.append(found)
        lifts = tuple(lift for lift in lifts if lift < found.lift_mm - 1e-9)
    return ways
