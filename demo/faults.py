"""What goes wrong with the surveys of sound pianos: slips of reading, slips of typing, cells that get lost.

Each order has one function that spoils its typed cells and says which rule must find each fault, and at which field.
``follows`` lists findings of other rules that the same fault brings with it, so that nothing else may be found.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from handwriting import Typed, inches
from measuring import Length, Tape, first_head_of_run, measure, run_mm
from true_pianos import TruePiano

Cells = dict[str, Typed]
Fault = tuple[str, str | None]

#: Where a whole sheet is wrong, any other rule may have something to say of it.
ANYTHING: tuple[Fault, ...] = (("*", "*"),)


@dataclass(frozen=True)
class Planted:
    """What was done to one workbook: faults to be found, what follows from them, what cannot be compared any more.

    ``spoiled`` are sections whose wires cannot be compared with the truth. ``deleted`` are names whose row is gone.
    """

    state: str
    faults: tuple[Fault, ...]
    follows: tuple[Fault, ...] = ()
    spoiled: tuple[int, ...] = ()
    deleted: tuple[str, ...] = ()


#: Reads the state that a sound survey must reach, or spoils one.
Spoiler = Callable[[TruePiano, Cells, Tape], Planted]


def tight_and_coarse(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """A quarter of an inch at rest, read to an eighth: it fits, but the reading decides."""
    ends = ("s3_rest_low", "s3_rest_high", "s4_rest_low", "s4_rest_high")
    return Planted("confirm", tuple(("stack_within_doubt", key) for key in ends))


def slips_at_the_tape(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """One space too many in a run, one inch in a span, a needed-by day before the visit, two angles that differ."""
    heads = piano.sections[1].dampers
    true = run_mm(piano, 2, first_head_of_run(heads, "tenor"), spaces=8)
    cells["s2_run"] = inches(tape.length("s2_run over eight", true), "in", 0)
    span = tape.length("s4_span", piano.span_mm(4))
    cells["s4_span"] = inches(Length(span.value + 1, "in"), "in", 0)
    cells["needed_by"] = date(2031, 2, 25)
    cells["s3_angle_1"], cells["s3_angle_2"] = 90, 95
    return Planted(
        "confirm",
        (
            ("readings_disagree", "s2_run"),
            ("needed_before_survey", "needed_by"),
            ("angle_readings_apart", "s3_angle_2"),
            ("readings_disagree", "s4_span"),
        ),
        spoiled=(2, 4),
    )


def damper_not_counted(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """One damper missed in the count, and an angle read from the other side the second time."""
    cells["s3_dampers"] = piano.sections[2].dampers - 1
    cells["s1_angle_2"] = 180 - int(str(cells["s1_angle_1"]))
    return Planted(
        "confirm",
        (("readings_disagree", "s3_dampers"), ("angle_from_wrong_side", "s1_angle_2")),
        follows=(("notes_short_of_keyboard", "s4_notes"),),
        spoiled=(3,),
    )


def typed_wrongly(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Every way in which typing goes wrong on an inch sheet."""
    wrong: dict[str, tuple[str, Typed]] = {
        "survey_date": ("unreadable_date", "next Monday"),
        "head_width": ("impossible_fraction", "1/3"),
        "cable_run": ("impossible_length", 2400),
        "s1_span": ("formula_without_result", "=10+7/8"),
        "s1_angle_1": ("text_in_number_cell", "steep"),
        "s1_angle_2": ("impossible_angle", 276),
        "s1_singles": ("impossible_count", 108),
        "s2_dampers": ("not_a_whole_number", 18.5),
        "s2_run": ("date_in_length_cell", 48280),
        "s2_screws": ("unreadable_screws", "under the third and the tenth"),
        "s2_strut": ("unknown_choice", "perhaps"),
        "s3_rest_low": ("date_in_length_cell", date(2031, 3, 8)),
        "s3_screws": ("date_in_screws_cell", date(2031, 7, 11)),
        "s3_dampers": ("date_in_number_cell", date(2031, 1, 16)),
        "s4_span": ("error_in_cell", "#REF!"),
        "s4_run": ("length_not_above_zero", 0),
    }
    for key, (_, cell) in wrong.items():
        cells[key] = cell
    return Planted("hold", tuple((rule, key) for key, (rule, _) in wrong.items()), spoiled=(1, 2, 3, 4))


def typed_wrongly_in_mm(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Ways in which typing goes wrong on a millimetre sheet, and a serial number that a program spoilt."""
    wrong: dict[str, tuple[str, Typed]] = {
        "model": ("date_in_text_cell", date(2031, 2, 15)),
        "serial": ("figures_lost", 4.4182003e16),
        "s1_span": ("fraction_in_mm_sheet", "10 7/8"),
        "s2_span": ("ambiguous_number", "1,034"),
        "s4_span": ("impossible_length", 3070000),
    }
    for key, (_, cell) in wrong.items():
        cells[key] = cell
    return Planted("hold", tuple((rule, key) for key, (rule, _) in wrong.items()), spoiled=(1, 2, 4))


def left_blank(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Required cells left blank."""
    blank = ("serial", "s2_register", "s3_span", "s4_rest_high")
    for key in blank:
        cells[key] = None
    cells["s4_gauge_high"] = None
    return Planted("hold", tuple(("missing_reading", key) for key in blank), spoiled=(3,))


def unit_forgotten(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """No unit, so that no bare number can be read; that is told once, at the first of them."""
    cells["unit"] = None
    return Planted("hold", (("missing_reading", "unit"), ("unit_unknown", "head_width")), spoiled=(1, 2, 3, 4))


def readings_that_cannot_be(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Readings that contradict each other or that no grand has, cell by cell."""
    cells["s1_rest_low"] = "1/2"
    cells["s1_doubles"] = 19
    cells["s2_angle_1"] = cells["s2_angle_2"] = 30
    cells["s2_hole_offset_low"] = "1/8"
    cells["s2_room_high"] = None
    cells["s3_screws"] = "4; 19"
    cells["s4_notes"] = 12
    cells["s4_hole_high"] = "yes"
    cells["s4_rest_low"] = '3 1/4"'
    return Planted(
        "hold",
        (
            ("gauge_above_rest", "s1_rest_low"),
            ("strings_beyond_notes", "s1_doubles"),
            ("implausible_angle", "s2_angle_1"),
            ("implausible_angle", "s2_angle_2"),
            ("offset_without_hole", "s2_hole_offset_low"),
            ("end_room_unread", "s2_room_high"),
            ("screw_outside_section", "s3_screws"),
            ("fewer_notes_than_dampers", "s4_notes"),
            ("hole_away_from_strut", "s4_hole_high"),
            ("implausible_height", "s4_rest_low"),
            ("gauge_far_below_rest", "s4_gauge_low"),
        ),
        follows=(
            ("shims_too_high", "s1_rest_high"),
            ("angle_unlike_neighbour", "s3_angle_1"),
            ("notes_short_of_keyboard", "s4_notes"),
            ("implausible_reach", "top_reach"),
            ("shims_too_high", "s4_rest_high"),
        ),
    )


def unlikely_readings(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Readings that can be, but hardly are: each is asked about. The heads really are that wide."""
    unlikely: dict[str, tuple[str, Typed]] = {
        "serial": ("serial_too_short", "7"),
        "head_width": ("implausible_head_width", cells["head_width"]),
        "wire_diameter": ("implausible_wire_diameter", "6 mm"),
        "ledge_rear": ("implausible_ledge", 120),
        "cable_run": ("implausible_cable_run", 145),
        "top_reach": ("implausible_reach", 660),
        "s1_room_low": ("implausible_room", 320),
        "s1_hole_offset_high": ("implausible_hole_offset", 14),
        "s2_singles": ("singles_above_bass", 3),
        "s3_screws": ("too_many_screws", "1; 3; 5; 8; 11; 13"),
        "s4_angle_1": ("angle_unlike_neighbour", 116),
    }
    for key, (_, cell) in unlikely.items():
        cells[key] = cell
    cells["s1_hole_high"], cells["s4_angle_2"] = "yes", 116
    return Planted("confirm", tuple((rule, key) for key, (rule, _) in unlikely.items()), spoiled=(1, 2, 3, 4))


def only_what_is_required(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Only the required readings, and a date in another order: worth a note, and no more."""
    optional = (
        "run_end",
        "angle_2",
        "hole_low",
        "hole_high",
        "singles",
        "doubles",
        "room_low",
        "room_high",
        "gap_next",
    )
    once = ("head_width", "wire_diameter", "ledge_front", "ledge_rear", "top_reach", "cable_run")
    for key in (*once, *(f"s{number}_{name}" for number in (1, 2, 3) for name in optional)):
        cells[key] = None
    cells["survey_date"] = "7.3.2031"
    return Planted(
        "release",
        (
            ("section_test_weak", "s1_run_end"),
            ("swing_not_gauged", "s1_gauge_low"),
            ("swing_not_gauged", "s1_gauge_high"),
            ("reach_reckoned", "top_reach"),
            ("unusual_spelling", "survey_date"),
        ),
        follows=(("section_test_weak", "s2_run_end"), ("section_test_weak", "s3_run_end")),
    )


def bass_left_out(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """The column of the bass was skipped and the others moved down."""
    for number in (1, 2, 3):
        for key in [key for key in cells if key.startswith(f"s{number}_")]:
            cells[key] = cells.get(f"s{number + 1}_{key[3:]}")
        cells.setdefault(f"s{number}_notes", cells.get(f"s{number + 1}_notes"))
    for key in [key for key in cells if key.startswith("s4_")]:
        cells[key] = None
    return Planted(
        "confirm",
        (
            ("register_not_surveyed", "s1_register"),
            ("notes_short_of_keyboard", "s3_notes"),
            ("implausible_damper_total", "s3_dampers"),
        ),
        spoiled=(1, 2, 3, 4),
    )


def unit_chosen_wrongly(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Inches, written as decimals, on a sheet that says millimetres: nothing on it makes sense."""
    for key, reading in measure(piano, tape.seed).items():
        if isinstance(reading, Length) and reading.unit == "in":
            cells[key] = float(reading.value)
    cells["unit"], cells["reading_step"] = "mm", "0.5"
    return Planted("hold", (("readings_in_other_unit", "unit"),), follows=ANYTHING, spoiled=(1, 2, 3, 4))


def contradictions(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Counts and lengths that cannot stand together."""
    cells["s1_dampers"] = 0
    cells["s2_dampers"], cells["s2_run"], cells["s2_span"] = None, 8, 60
    cells["s3_dampers"] = 7
    cells["top_reach"] = 5
    return Planted(
        "hold",
        (
            ("undamped_below_damped", "s1_dampers"),
            ("missing_reading", "s1_notes"),
            ("missing_reading", "s2_dampers"),
            ("implausible_run", "s2_run"),
            ("implausible_span", "s2_span"),
            ("run_with_too_few_heads", "s3_run"),
            ("reach_below_span", "top_reach"),
        ),
        follows=(
            ("run_with_too_few_heads", "s1_run"),
            ("run_with_too_few_heads", "s1_run_end"),
            ("run_with_too_few_heads", "s3_run_end"),
            ("implausible_pitch", "s3_span"),
            ("readings_disagree", "s3_dampers"),
            ("readings_disagree", "s3_span"),
            ("screw_outside_section", "s3_screws"),
        ),
        spoiled=(1, 2, 3),
    )


def sister_pianos(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Two pianos of one model of which one has a damper fewer, and the serial number of the one on both."""
    cells["serial"] = "OC 4107"
    return Planted("confirm", (("differs_from_same_model", "s2_dampers"), ("duplicate_serial", "serial")))


def wide_spacing(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Dampers that really stand further apart than grands have them."""
    return Planted("confirm", (("implausible_pitch", "s1_span"),))


def too_low(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Strings so near the guide rail that no rail goes under them."""
    return Planted(
        "hold",
        (("stack_too_tall", "s3_rest_low"), ("stack_too_tall", "s3_rest_high")),
        follows=(("lift_beyond_cranks", "s3_rest_low"),),
    )


def closed_in(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """A strut behind the wires, and no rail in front of them; and a figure too many in the reach."""
    cells["top_reach"] = 1000 + round(piano.last_string_mm(4))
    return Planted(
        "hold",
        (("no_side_free", "s1_strut"), ("implausible_reach", "top_reach"), ("piece_longer_than_stock", "top_reach")),
    )


def full_of_obstacles(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """A piano in which nearly every section has something in the way."""
    return Planted(
        "hold",
        (
            ("notch_too_deep", "s1_hole_offset_high"),
            ("no_station_gap", "s2_dampers"),
            ("end_without_room", "s3_room_high"),
            ("shims_too_high", "s3_rest_high"),
            ("lift_beyond_cranks", "s5_rest_low"),
        ),
    )


def offset_not_measured(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """A wire hole out of line by nobody knows how much, where the carrier must be narrow."""
    cells["s1_hole_offset_high"] = None
    return Planted("confirm", (("notch_rests_on_default", "s1_hole_offset_high"),))


def step_of_the_other_unit(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """An inch step on a millimetre sheet, and a bass angle read from the wrong side both times."""
    cells["reading_step"] = "1/8"
    cells["s1_angle_1"], cells["s1_angle_2"] = 104, 103
    return Planted(
        "hold",
        (
            ("step_of_other_unit", "reading_step"),
            ("angle_from_wrong_side", "s1_angle_1"),
            ("angle_from_wrong_side", "s1_angle_2"),
        ),
        spoiled=(1, 2, 3, 4),
    )


def rows_deleted(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Somebody deleted two rows: the spans, and the cable run."""
    spans = tuple(f"s{number}_span" for number in range(1, 5))
    return Planted(
        "hold",
        (*(("answer_cell_lost", key) for key in spans), ("optional_cell_lost", None)),
        spoiled=(1, 2, 3, 4),
        deleted=(*spans, "cable_run"),
    )


def number_used_twice(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Two workbooks with one order number; the second was filled in on a copy of the first."""
    cells["order_no"] = "K-4210"
    return Planted("hold", (("duplicate_order_number", "order_no"),))


def tilted_at_the_tape(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Rest gaps that tilt: by a slip, by rounding under clear gauges, and by rounding where one gauge is missing.

    The order number is one that another survey has as well.
    """
    tilted: dict[int, tuple[Typed, ...]] = {
        2: ("3/8", "3/8", "3/4", "1/2"),
        3: ("1/4", "1/4", "1/4", "3/8"),
        4: ("1/4", None, "3/8", "1/4"),
    }
    for number, inches_read in tilted.items():
        for name, inch in zip(("gauge_low", "gauge_high", "rest_low", "rest_high"), inches_read, strict=True):
            cells[f"s{number}_{name}"] = inch
    return Planted(
        "hold",
        (
            *number_used_twice(piano, cells, tape).faults,
            ("rest_gaps_too_uneven", "s2_rest_low"),
            ("rest_gaps_eased", "s3_rest_high"),
            ("rest_gaps_in_doubt", "s4_rest_high"),
        ),
        follows=(("stack_within_doubt", "s4_rest_high"),),
    )


def sections_muddled(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """A blank column, a single damper, registers upside down."""
    for key in [key for key in cells if key.startswith("s2_")]:
        cells[key] = None
    cells["s1_register"], cells["s3_register"] = "treble", "tenor"
    cells["s4_dampers"] = 1
    return Planted(
        "hold",
        (
            ("section_left_blank", "s2_dampers"),
            ("registers_out_of_order", "s3_register"),
            ("one_damper", "s4_dampers"),
        ),
        follows=(
            ("singles_above_bass", "s1_singles"),
            ("screw_outside_section", "s4_screws"),
            ("run_with_too_few_heads", "s4_run"),
            ("run_with_too_few_heads", "s4_run_end"),
            ("implausible_reach", "top_reach"),
        ),
        spoiled=(1, 2, 3, 4),
    )


def counted_twice(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """One section's notes counted with its neighbour's, and a figure lost from a span, so that no run goes with it."""
    cells["s4_notes"] = 54
    cells["s3_span"] = "2 1/2"
    return Planted(
        "hold",
        (("notes_beyond_keyboard", "s4_notes"), ("wires_out_of_order", "s3_span")),
        follows=(("implausible_reach", "top_reach"), ("readings_disagree", "s3_span")),
        spoiled=(3,),
    )


def nothing_filled(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Only the head of the sheet was filled in."""
    for key in [key for key in cells if key[0] == "s" and key[1].isdigit()]:
        cells[key] = None
    return Planted("hold", (("no_section_filled", "s1_dampers"),), spoiled=(1, 2, 3, 4))


def untouched(piano: TruePiano, cells: Cells, tape: Tape) -> Planted:
    """Nothing goes wrong."""
    return Planted("release", ())


SPOILERS: dict[str, Spoiler] = {
    "K-4111": tight_and_coarse,
    "K-4201": slips_at_the_tape,
    "K-4202": damper_not_counted,
    "K-4204": typed_wrongly,
    "K-4205": left_blank,
    "K-4206": unit_forgotten,
    "K-4207": readings_that_cannot_be,
    "K-4208": step_of_the_other_unit,
    "K-4209": rows_deleted,
    "K-4210": tilted_at_the_tape,
    "K-4211": typed_wrongly_in_mm,
    "K-4212": number_used_twice,
    "K-4213": sections_muddled,
    "K-4216": counted_twice,
    "K-4217": unlikely_readings,
    "K-4218": only_what_is_required,
    "K-4219": bass_left_out,
    "K-4220": nothing_filled,
    "K-4221": unit_chosen_wrongly,
    "K-4222": contradictions,
    "K-4223": sister_pianos,
    "K-4231": sister_pianos,
    "K-4232": wide_spacing,
    "K-4233": too_low,
    "K-4234": closed_in,
    "K-4235": full_of_obstacles,
    "K-4236": offset_not_measured,
}


def spoiler_of(order_no: str) -> Spoiler:
    """Find what goes wrong with an order's survey."""
    return SPOILERS.get(order_no, untouched)
