"""Whole instruments through the fit engine: what comes out, what is released, and what stands in the way."""

from __future__ import annotations

import dataclasses
import math
import random

import numpy as np
import pytest

from fit_samples import (
    EIGHTH,
    INCH,
    bass,
    fitted,
    in_the_way,
    section,
    survey,
    tenor,
    treble,
    with_rules,
)
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.profiles import inertia
from railwright.survey.records import Survey

BOOK = default_shop_book()


def ordinary(**more: object) -> Survey:
    return survey(bass(), tenor(), treble(**more))


def conflict(result, rule: str):
    (found,) = [each for each in result.all_conflicts() if each.rule == rule]
    return found


def test_ordinary_instrument_is_released():
    result = fitted(ordinary())
    assert in_the_way(result) == []
    assert 0.0 < result.lever_force_n <= BOOK.value("lever_force")
    for part in result.sections:
        assert None not in (part.carrier, part.felt, part.crank, part.stack_mm, part.cost)
        assert len(part.stations) >= 2


def test_every_limit_holds_in_the_result():
    """Recomputed from what the result says alone."""
    for part in fitted(ordinary()).sections:
        t = part.felt.thickness_mm
        assert part.stack_mm + BOOK.value("rest_clearance") + part.guard_mm <= part.free_mm + 1e-9
        assert (
            BOOK.value("delta_min") - 1e-6 <= part.press_min_mm <= part.press_max_mm <= BOOK.value("working") * t + 1e-6
        )
        assert part.press_force_n == pytest.approx(sum(load.force_n for load in part.loads))
        carried = sum(station.reaction_n for station in part.stations)
        assert carried == pytest.approx(part.press_force_n, rel=0.05)
        for station in part.stations:
            assert 0.0 <= station.shim_mm <= BOOK.value("shim_max")
            assert station.shim_mm / 0.1 == pytest.approx(round(station.shim_mm / 0.1), abs=1e-6)
        first, last = part.stations[0].x_mm, part.stations[-1].x_mm
        most = BOOK.value("overhang_max") + 1e-9
        assert first - part.carrier.start_mm <= most
        assert part.carrier.end_mm - last <= most


@pytest.mark.parametrize("rests", [(0.75, 0.75), (0.875, 0.75), (0.75, 0.875)])
def test_the_stack_where_it_is_tightest_is_that_of_an_end(rests):
    low, high = rests
    part = fitted(survey(bass(rest=(low, high)), tenor(), treble())).sections[0]
    assert part.stack_mm in (part.stack_low_mm, part.stack_high_mm)
    assert (part.stack_low_mm < part.stack_high_mm) == (low < high)
    assert (part.stack_low_mm == part.stack_high_mm) == (low == high)


def test_cut_of_a_leaning_section():
    """E = span + 2 x 3 mm, L = E + b cot theta, the saw 15 degrees off square, the hand of strings to the treble."""
    part = fitted(ordinary()).sections[0]
    b = part.carrier.width_mm
    assert part.theta_deg == 75.0
    assert part.carrier.edge_mm == pytest.approx(part.span_mm + 6.0)
    assert part.carrier.length_mm == pytest.approx(part.carrier.edge_mm + b / math.tan(math.radians(75.0)))
    assert (part.carrier.saw_angle_deg, part.carrier.saw_hand) == (15.0, "left")
    offset = 2.9 / 2 + 1.0 + b / 2
    assert (part.side, part.offset_mm) == ("rear", pytest.approx(offset))
    shift = offset / math.tan(math.radians(75.0))
    assert part.carrier.start_mm == pytest.approx(-3.0 + shift)
    assert part.carrier.end_mm == pytest.approx(part.span_mm + 3.0 + shift)
    assert part.loads[0].x_mm == pytest.approx(part.spacing.x_mm[0] + shift)
    assert part.felt.length_mm == part.carrier.length_mm
    assert part.felt.width_mm == b


def test_stations_stand_amid_their_gaps():
    part = fitted(ordinary()).sections[1]
    for station in part.stations:
        assert station.x_mm == pytest.approx(part.spacing.x_mm[station.gap - 1 : station.gap + 1].mean())


def test_top_section_covers_its_reach():
    """With the reach measured: the segment ends 3 mm beyond the last string; undamped notes lie evenly before it."""
    result = fitted(survey(bass(), tenor(), treble(), top_reach_mm=520.0))
    part = result.sections[2]
    assert part.span_mm == 520.0
    assert part.carrier.edge_mm == pytest.approx(526.0)
    assert part.last_note == 88
    shift = part.carrier.start_mm + 3.0
    beyond = [load.x_mm - shift for load in part.loads[19:]]
    assert beyond[-1] == pytest.approx(520.0)
    assert np.ptp(np.diff(beyond)) == pytest.approx(0.0, abs=1e-9)
    assert "reach_reckoned" not in [each.rule for each in result.all_conflicts()]
    assert any(station.gap == 0 for station in part.stations)


def test_reach_not_measured_is_reckoned_and_said():
    result = fitted(ordinary())
    part = result.sections[2]
    assert part.span_mm == pytest.approx(survey(treble()).sections[0].span_mm + 22 * part.spacing.pitch_mm)
    assert conflict(result, "reach_reckoned").field == "top_reach"
    assert "top_reach" in [default.field for default in result.defaults]


@pytest.mark.parametrize(
    ("step", "rules"),
    [(EIGHTH, ["stack_within_doubt"] * 2), (INCH / 16, ["stack_within_doubt"] * 2), (INCH / 32, [])],
)
def test_tight_treble_by_reading_step(step, rules):
    """A quarter of an inch at rest: 5.85 mm free, 4.5 mm of parts; only the step decides."""
    result = fitted(survey(bass(), tenor(), treble(gauge=None, rest=1 / 4), step=step))
    assert in_the_way(result) == rules
    assert result.sections[2].carrier is not None


def test_tight_treble_tried_with_a_block():
    for rest in (1 / 4, None, 3 / 8):
        assert in_the_way(fitted(survey(bass(), tenor(), treble(gauge=1 / 4, rest=rest)))) == []


def test_tight_treble_says_what_would_settle_it():
    result = fitted(survey(bass(), tenor(), treble(gauge=None, rest=1 / 4)))
    (low, _) = [each for each in result.all_conflicts() if each.rule == "stack_within_doubt"]
    assert (low.section, low.field) == (3, "s3_rest_low")
    assert low.facts["finer_step"] == "1/32 in"
    assert low.facts["stack"] == "4.5 mm"
    tried = fitted(survey(bass(), tenor(), treble(gauge=(float(low.facts["gauge_mm"]) + 1e-6) / INCH, rest=1 / 4)))
    assert in_the_way(tried) == []


def test_far_too_low_a_treble_is_too_tall_for_every_part():
    """3/16 in at rest: 4.26 mm free; the conflict's own number is the turning point."""
    result = fitted(survey(bass(), tenor(), treble(gauge=None, rest=3 / 16)))
    found = [each for each in result.all_conflicts() if each.rule == "stack_too_tall"]
    assert [each.field for each in found] == ["s3_rest_low", "s3_rest_high"]
    needed = float(found[0].facts["needed_mm"]) / INCH
    enough = survey(bass(), tenor(), treble(gauge=None, rest=needed + 1e-6))
    assert in_the_way(fitted(enough)) == []
    short = survey(bass(), tenor(), treble(gauge=None, rest=needed - 0.01))
    assert set(in_the_way(fitted(short))) == {"stack_within_doubt"}


def test_one_tight_end_names_that_end():
    result = fitted(survey(bass(), tenor(), treble(gauge=(3 / 8, 1 / 8), rest=3 / 8)))
    assert conflict(result, "stack_too_tall").field == "s3_gauge_high"


@pytest.mark.parametrize(("rest", "rules"), [(1.0, []), (1.5, ["lift_beyond_cranks"])])
def test_lift_beyond_the_cranks(rest, rules):
    """38 mm at rest over a clear gauge of 5/8 in: more than the longest crank."""
    result = fitted(survey(bass(rest=rest), tenor(), treble()))
    assert in_the_way(result) == rules


def test_rest_gap_in_doubt_beyond_the_trim():
    """At a step of 1/4 in the gap at rest is known to 3 mm only; the link trims 2."""
    result = fitted(survey(bass(), tenor(), treble(), step=INCH / 4))
    doubt = [each for each in result.all_conflicts() if each.rule == "lift_doubt_beyond_trim"]
    assert [each.field for each in doubt] == [f"s{n}_rest_{end}" for n in (1, 2, 3) for end in ("low", "high")]
    assert doubt[0].facts["finer_step"] == "1/16 in"


def test_gap_that_differs_by_a_quarter_inch_is_levelled():
    """7/8 at the low end, 5/8 at the high: shims fall from the low station to the high one."""
    part = fitted(survey(bass(rest=(7 / 8, 5 / 8)), tenor(), treble())).sections[0]
    shims = [station.shim_mm for station in part.stations]
    assert shims == sorted(shims, reverse=True)
    assert shims[0] - shims[-1] == pytest.approx(6.35 * (part.stations[-1].x_mm - part.stations[0].x_mm) / 348, abs=0.4)
    assert part.press_min_mm >= 0.3


def test_gap_that_differs_too_much():
    result = fitted(survey(bass(gauge=(5 / 8, 3 / 8), rest=(1.0, 1 / 2)), tenor(), treble()))
    assert in_the_way(result) == ["shims_too_high"]
    assert result.sections[0].carrier is None
    assert result.lever_force_n is None


def test_strut_puts_the_segment_in_front():
    part = fitted(survey(bass(strut=True), tenor(), treble())).sections[0]
    assert part.side == "front"
    assert part.offset_mm < 0.0
    assert part.loads[0].x_mm < part.spacing.x_mm[0]
    assert part.reliefs == ()


def test_wire_out_of_line_is_notched_in_front():
    part = fitted(survey(bass(strut=True, hole_high=True, hole_offset_high_mm=2.5), tenor(), treble())).sections[0]
    (notch,) = part.reliefs
    assert (notch.kind, notch.depth_mm, notch.width_mm) == ("wire", 2.5, pytest.approx(4.9))
    assert notch.x_mm == pytest.approx(part.spacing.x_mm[-1])


def test_wire_out_of_line_does_not_matter_behind():
    assert fitted(survey(bass(hole_high=True, hole_offset_high_mm=2.5), tenor(), treble())).sections[0].reliefs == ()


@pytest.mark.parametrize(("offset", "rules"), [(6.0, []), (6.1, ["notch_too_deep"])])
def test_deepest_notch(offset, rules):
    """Half of the widest carrier, 12 mm."""
    result = fitted(survey(bass(strut=True, hole_low=True, hole_offset_low_mm=offset), tenor(), treble()))
    assert in_the_way(result) == rules


def test_notch_from_a_usual_offset_prefers_a_carrier_that_bears_its_doubt():
    """3 mm usual, 1.3 mm doubt: a carrier of 6 mm would do by the value alone, 12 mm does in any case."""
    result = fitted(survey(bass(strut=True, hole_low=True), tenor(), treble()))
    assert in_the_way(result) == []
    assert result.sections[0].carrier.width_mm / 2 >= 3.0 + 1.645 * 0.8


def test_neither_side_free():
    result = fitted(survey(bass(strut=True), tenor(), treble(), ledge_front_mm=6.0))
    found = conflict(result, "no_side_free")
    assert (found.field, found.facts["front"]) == ("s1_strut", "6.0 mm")


def test_ledge_that_only_a_default_vouches_for():
    """Usual ledge 30 mm, known to 3: a book whose only carrier is 28 mm wide fits by the value, not in doubt."""
    wide = dataclasses.replace(BOOK.carriers[2], width_mm=28.0)
    book = dataclasses.replace(BOOK, carriers=(wide,))
    result = fitted(survey(tenor(1), treble(2, notes=20)), book)
    assert {each.rule for each in result.all_conflicts() if each.section == 1} == {"side_rests_on_default"}
    measured = fitted(survey(tenor(1), treble(2, notes=20), ledge_rear_mm=30.0), book)
    assert "side_rests_on_default" not in in_the_way(measured)


@pytest.mark.parametrize(("room", "edge"), [(None, 3.0), (9.0, 3.0), (5.0, 3.0), (4.0, 2.0), (2.0, 0.0)])
def test_end_shortens_to_its_room(room, edge):
    """The plate keeps 2 mm; the outer head stays covered."""
    part = fitted(survey(bass(room_low_mm=room), tenor(), treble())).sections[0]
    assert part.carrier.edge_mm == pytest.approx(part.span_mm + 3.0 + edge)
    assert part.conflicts == ()


def test_end_without_room():
    result = fitted(survey(bass(room_low_mm=1.9), tenor(), treble()))
    assert in_the_way(result) == ["end_without_room"]
    assert conflict(result, "end_without_room").field == "s1_room_low"


def test_end_that_stands_far_out_asks_for_its_room():
    """A carrier 28 mm wide at 60 degrees stands out far more than 15 mm at its long point."""
    wide = dataclasses.replace(BOOK.carriers[2], width_mm=28.0)
    book = dataclasses.replace(BOOK, carriers=(wide,))
    leaning = section(1, "tenor", 20, angle=60.0, gauge=5 / 8, rest=3 / 4)
    unread = fitted(survey(leaning, treble(2, notes=20), ledge_rear_mm=60.0), book)
    assert [(c.rule, c.field) for c in unread.sections[0].conflicts] == [("end_room_unread", "s1_room_high")]
    read = fitted(
        survey(dataclasses.replace(leaning, room_high_mm=40.0), treble(2, notes=20), ledge_rear_mm=60.0), book
    )
    assert read.sections[0].conflicts == ()


def test_screws_keep_stations_off_and_are_hollowed_out():
    """Heads of M4 screws (ISO 7046, 8.4 mm) stand 1.5 mm proud; a foot of 1 mm needs hollows of 9.4 mm."""
    part = fitted(ordinary(screws=(7, 12))).sections[2]
    assert not {20 - 7, 20 - 12} & {station.gap for station in part.stations}
    assert part.foot_height_mm < 1.5
    assert [relief.kind for relief in part.reliefs] == ["screw", "screw"]
    assert [relief.width_mm for relief in part.reliefs] == pytest.approx([9.4, 9.4])
    assert [relief.x_mm for relief in part.reliefs] == pytest.approx(list(part.screws_x_mm))
    assert all(0.0 < relief.depth_mm < part.carrier.height_mm for relief in part.reliefs)


@pytest.mark.parametrize(("wall", "foot"), [(1.01, "HF-10"), (1.0, "HF-30")])
def test_hollow_never_opens_a_tube(wall, foot):
    """A foot of 1 mm asks for hollows 1.0 mm deep; a wall of just that would be cut through: taller feet."""
    tube = dataclasses.replace(BOOK.carriers[5], wall_mm=wall)
    hardware = tuple(part for part in BOOK.hardware if part.item != "HF-50")
    book = dataclasses.replace(BOOK, carriers=(tube,), hardware=hardware)
    part = section(1, "tenor", 14, gauge=5 / 8, rest=3 / 4, screws=(6,))
    result = fitted(survey(part, treble(2, notes=20)), book).sections[0]
    assert result.foot == foot
    assert len(result.reliefs) == (1 if foot == "HF-10" else 0)


def test_carrier_on_tall_feet_passes_over_screws():
    book = dataclasses.replace(BOOK, hardware=tuple(p for p in BOOK.hardware if p.item != "HF-10"))
    assert fitted(ordinary(screws=(7,)), book).sections[2].reliefs == ()


def test_section_too_short_for_two_feet():
    """Two heads leave one gap."""
    short = section(2, "tenor", 2, gauge=5 / 8, rest=3 / 4)
    result = fitted(survey(bass(), short, treble()))
    assert in_the_way(result) == ["no_station_gap"]
    assert conflict(result, "no_station_gap").field == "s2_dampers"


def test_section_without_dampers():
    """A strut beyond the last damper: 10 notes over 130 mm, stations midway between notes."""
    beyond = section(4, "treble", 0, notes=10, gauge=3 / 8, rest=3 / 8, span_mm=130.0, run_mm=None, screws=None)
    result = fitted(survey(bass(), tenor(), treble(), beyond))
    part = result.sections[3]
    assert in_the_way(result) == []
    assert (part.span_mm, part.first_note, part.last_note) == (130.0, 79, 88)
    assert part.carrier.edge_mm == pytest.approx(136.0)
    assert {station.gap for station in part.stations} == {0}
    assert len(part.loads) == 10


@pytest.mark.parametrize(
    "missing",
    ["register", "dampers", "span_mm", "angle_1_deg", "strut", "screws", "gauge_low_mm"],
)
def test_missing_reading_leaves_its_section_open(missing):
    """No crash, no parts, no conflict of its own: the checks name what is missing. The others are fitted."""
    gone = {missing: None, "angle_2_deg": None, "rest_low_mm": None}
    part = dataclasses.replace(tenor(), **gone)
    result = fitted(survey(bass(), part, treble()))
    assert result.sections[1].carrier is None
    assert result.sections[1].conflicts == ()
    assert result.lever_force_n is None
    assert result.sections[0].carrier is not None


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("span_mm", 12.0),
        ("span_mm", 9000.0),
        ("run_mm", 900.0),
        ("angle_1_deg", 4.0),
        ("angle_1_deg", 190.0),
        ("gauge_low_mm", 0.0),
        ("gauge_low_mm", 600.0),
        ("dampers", 60),
        ("rest_low_mm", 2.0),
    ],
)
def test_absurd_readings_are_survived(field, value):
    part = dataclasses.replace(tenor(), **{field: value, "angle_2_deg": None})
    assert len(fitted(survey(bass(), part, treble())).sections) == 3


def test_lever_too_heavy_takes_smaller_lifts_first():
    """With the limit just below what the cheapest parts ask, lifts shrink and the cost grows; nothing is in the way."""
    free = fitted(ordinary())
    limit = free.lever_force_n - 0.3
    held = fitted(ordinary(), with_rules(BOOK, lever_force=limit))
    assert in_the_way(held) == []
    assert held.lever_force_n <= limit
    assert sum(p.cost for p in held.sections) >= sum(p.cost for p in free.sections)


def test_lever_too_heavy_for_any_lift():
    result = fitted(ordinary(), with_rules(BOOK, lever_force=1.0))
    assert in_the_way(result) == ["lever_too_heavy"]
    facts = conflict(result, "lever_too_heavy").facts
    enough = with_rules(BOOK, lever_force=1.0, lever_ratio=float(facts["ratio_needed"]) + 0.01)
    assert in_the_way(fitted(ordinary(), enough)) == []


def test_nothing_to_choose_from():
    empty = dataclasses.replace(BOOK, carriers=())
    assert set(in_the_way(fitted(ordinary(), empty))) == {"no_parts_to_choose"}
    unpriced = dataclasses.replace(BOOK, stock=tuple(line for line in BOOK.stock if not line.item.startswith("HF-")))
    assert set(in_the_way(fitted(ordinary(), unpriced))) == {"no_parts_to_choose"}


def test_the_same_answer_every_time():
    assert repr(fitted(ordinary())) == repr(fitted(ordinary()))


def test_carriers_that_are_as_cheap_are_chosen_by_stiffness():
    """Two bars of one price and size: the stiffer; of one stiffness too: the lower code."""
    base = BOOK.carriers[3]
    twins = tuple(
        dataclasses.replace(base, item=item, modulus_gpa=e) for item, e in (("T1", 60.0), ("T2", 70.0), ("T3", 70.0))
    )
    price = next(line for line in BOOK.stock if line.item == base.item)
    stock = tuple(dataclasses.replace(price, item=twin.item) for twin in twins) + BOOK.stock
    book = dataclasses.replace(BOOK, carriers=twins, stock=stock)
    part = fitted(survey(tenor(1), treble(2, notes=20)), book).sections[0]
    assert part.carrier.item == "T2"
    assert inertia(twins[0]) == inertia(twins[1])


def ordinary_week(seed: int) -> Survey:
    """Three to five sections at 1/8 in, as the trade brings them: angles 70-100, gauges 5/8 and 3/8, rest gaps read."""
    draw = random.Random(seed)
    count = draw.choice([3, 4, 5])
    parts = [bass(angle=draw.uniform(70, 90), rest=(draw.choice([7, 8]) / 8, draw.choice([6, 7]) / 8))]
    sizes = {3: [22, 20], 4: [18, 14, 12], 5: [16, 12, 9, 8]}[count]
    for number, size in enumerate(sizes, 2):
        dampers, angle, pitch = size + draw.randint(-2, 2), draw.uniform(75, 100), draw.uniform(12.8, 14.8)
        high = number > (2 if count < 5 else 3)
        register, gauge = ("treble", 3 / 8) if high else ("tenor", 5 / 8)
        rest = (draw.choice([3, 4]) / 8, 3 / 8) if high else (draw.choice([6, 7]) / 8, 6 / 8)
        screws = tuple(sorted(draw.sample(range(1, dampers), draw.choice([0, 1, 2])))) if high else ()
        parts.append(
            section(number, register, dampers, angle=angle, gauge=gauge, rest=rest, pitch=pitch, screws=screws)
        )
    return survey(*parts)


@pytest.mark.parametrize("seed", range(12))
def test_ordinary_week_is_released(seed):
    assert in_the_way(fitted(ordinary_week(seed))) == []
