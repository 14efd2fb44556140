import math

import pytest

from railwright.computing import readings
from section_kit import EIGHTH, book, section, survey


# Half-widths a = step / 2 and u = a / sqrt 3: JCGM 100:2008, 4.3.7; a resolution d gives 0.29 d: ibid. F.2.2.1.
@pytest.mark.parametrize(("step", "u"), [(3.175, 0.916544), (1.5875, 0.458272), (1.0, 0.288675), (0.5, 0.144338)])
def test_uncertainty_of_a_rounded_reading(step, u):
    assert readings.resolution_u(step) == pytest.approx(u, abs=5e-7)


def test_resolution_one_thousandth_gives_twenty_nine_hundred_thousandths():
    assert round(readings.resolution_u(0.001), 5) == 0.00029


def test_setting_adds_in_root_sum_square():
    assert readings.reading_u(0.0, 0.4) == 0.4
    assert readings.reading_u(3.175, 0.4) == pytest.approx(math.sqrt(3.175**2 / 12 + 0.16))


def test_a_head_width_that_was_read_counts_alone():
    width = readings.head_width(survey(head_width_mm=10.0), book())
    assert width == (10.0, pytest.approx(1.0000, abs=1e-4), None)


def test_a_blank_head_width_is_the_usual_one_and_says_so():
    value, u, default = readings.head_width(survey(), book(default_head_width=9.0, default_head_width_u=0.5))
    assert (value, u) == (9.0, 0.5)
    assert (default.field, default.source, default.value, default.unit) == (
        "head_width",
        "default_head_width",
        9.0,
        "mm",
    )


def test_a_field_written_finer_is_surer():
    finer = readings.head_width(survey(head_width_mm=9.5, steps_mm={"head_width": 0.1}), book())
    assert finer.u < readings.head_width(survey(head_width_mm=9.5), book()).u


@pytest.mark.parametrize("name", ["wire_diameter", "ledge_front", "ledge_rear", "cable_run"])
def test_other_blanks_of_the_instrument(name):
    shop = book()
    blank = getattr(readings, name)(survey(), shop)
    assert (blank.value, blank.u) == (shop.value(f"default_{name}"), shop.value(f"default_{name}_u"))
    assert blank.default.source == f"default_{name}"
    read = getattr(readings, name)(survey(**{f"{name}_mm": 12.5}), shop)
    assert (read.value, read.default) == (12.5, None)


def test_gap_to_the_next_section():
    assert readings.gap_next(section(gap_next_mm=20.0), survey(), book()).value == 20.0
    assert readings.gap_next(section(), survey(), book()).default.field == "s2_gap_next"


@pytest.mark.parametrize(
    ("answers", "value", "used"),
    [
        ({"hole_low": True, "hole_offset_low_mm": 4.0}, 4.0, False),
        ({"hole_low": True}, 3.0, True),
        ({"hole_low": False, "hole_offset_low_mm": 4.0}, 0.0, False),
        ({"hole_offset_low_mm": 4.0}, 4.0, False),
        ({}, 0.0, False),
    ],
)
def test_offset_of_an_end_hole(answers, value, used):
    offset = readings.hole_offset(section(**answers), "low", survey(), book())
    assert (offset.value, offset.default is not None) == (value, used)


def test_the_two_ends_are_told_apart():
    ends = section(hole_high=True, hole_offset_high_mm=5.0)
    assert readings.hole_offset(ends, "high", survey(), book()).value == 5.0
    assert readings.hole_offset(ends, "low", survey(), book()).value == 0.0


def test_angle_is_the_mean_of_both_readings():
    one = math.sqrt(1 / 12 + 0.25)
    assert readings.theta(section(angle_1_deg=78.0, angle_2_deg=80.0), book()) == (
        79.0,
        pytest.approx(one / math.sqrt(2)),
    )


@pytest.mark.parametrize("angles", [{"angle_1_deg": 78.0}, {"angle_2_deg": 78.0}])
def test_one_angle_stands_alone(angles):
    assert readings.theta(section(**angles), book()) == (78.0, pytest.approx(math.sqrt(1 / 12 + 0.25)))


def test_no_angle():
    assert readings.theta(section(), book()) is None


@pytest.mark.parametrize(
    ("register", "number", "notes", "singles", "doubles"),
    [
        ("bass", 1, 26, 10, 16),
        ("bass", 1, 8, 8, 0),
        ("bass", 2, 12, 0, 12),
        ("tenor", 2, 20, 0, 0),
        (None, 1, 20, 0, 0),
    ],
)
def test_usual_strings(register, number, notes, singles, doubles):
    kind = section(number=number, register=register)
    assert readings.singles(kind, notes, book()).value == singles
    assert readings.doubles(kind, notes, book()).value == doubles
    assert readings.singles(kind, notes, book()).default is not None


def test_counted_strings_come_first_and_never_pass_the_notes():
    kind = section(singles=8, doubles=30)
    assert readings.singles(kind, 20, book()) == (8, None)
    assert readings.doubles(kind, 20, book()) == (12, None)


def test_step_of_the_sheet_is_used():
    assert readings.u_of("s1_span", survey(step_mm=EIGHTH), book()) == pytest.approx(1.0000, abs=1e-4)
