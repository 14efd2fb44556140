from dataclasses import replace

import numpy as np
import pytest

from railwright.computing.next_reading import chance_to_decide, next_readings
from railwright.computing.results import Conflict, InstrumentResult
from railwright.computing.slips import diagnose
from railwright.survey.findings import Finding
from section_kit import book, section, survey

SPAN, RUN = 10.75 * 25.4, (3 + 7 / 8) * 25.4
TIGHT = {"free_mm": 5.85, "stack_mm": 4.5, "clearance_mm": 0.5, "guard_mm": 1.645}


def ranked(conflicts, *sections, **sheet):
    return next_readings(survey(*sections, **sheet), InstrumentResult((), conflicts=tuple(conflicts)), book())


def doubt(field="s3_rest_low", rule="stack_within_doubt", facts=TIGHT):
    return Conflict(rule, int(field[1]), field, facts)


TREBLE = section(number=3, register="treble", dampers=20, span_mm=SPAN, run_mm=RUN, rest_low_mm=6.35, rest_high_mm=6.35)


def test_nothing_in_doubt_asks_for_nothing():
    assert ranked([], TREBLE) == ()
    assert ranked([Conflict("section_test_weak", 3, "s3_run_end")], TREBLE) == ()


def test_a_tight_height_is_settled_best_by_a_gauge_block_then_by_a_finer_step():
    found = ranked([doubt()], TREBLE)
    assert [reading.field for reading in found] == ["s3_gauge_low", "s3_rest_low"]
    assert found[0].words == "Clear gauge, low end, section 3: try."
    assert found[1].words == "Gap at rest, low end, section 3: measure again to 1/32 in."


def test_a_blank_that_decides_is_settled_by_filling_it():
    found = ranked([doubt("s1_room_low", "end_room_unread", {})], TREBLE)
    assert [(reading.field, reading.settles) for reading in found] == [("s1_room_low", 1.0)]
    assert found[0].words == "Room to the plate, low end, section 1: measure."


def test_one_reading_that_settles_two_doubts_comes_first():
    conflicts = [doubt("s1_room_low", "end_room_unread", {})]
    conflicts += [Conflict("side_rests_on_default", number, "ledge_front", {}) for number in (1, 2)]
    found = ranked(conflicts, TREBLE)
    assert [(reading.field, reading.settles) for reading in found] == [("ledge_front", 2.0), ("s1_room_low", 1.0)]


def test_a_named_slip_is_settled_at_its_own_cell():
    off = section(number=2, dampers=20, span_mm=SPAN, run_mm=RUN + 13.9)
    found = ranked([doubt("s2_run", "readings_disagree", {})], off)
    assert (found[0].field, found[0].settles) == ("s2_run", 1.0)
    assert found[0].words == "Seven-space run, section 2: measure again."


def test_the_cell_to_fill_is_told():
    found = ranked([doubt("s1_room_low", "end_room_unread", {})], TREBLE, texts={"s1_room_low": ""})
    assert (found[0].sheet, found[0].cell) == ("Survey", "A1")


@pytest.mark.parametrize(("step_mm", "asked"), [(3.175, 1.5875), (6.35, 1.5875)])
def test_a_lift_in_doubt_asks_for_the_coarsest_step_that_the_trim_takes_up(step_mm, asked):
    lift = doubt("s3_rest_low", "lift_doubt_beyond_trim", {})
    sheet = survey(TREBLE, step_mm=step_mm)
    found = next_readings(sheet, InstrumentResult((), conflicts=(lift,)), book(trim=1.2))
    assert found[0].step_mm == asked


def test_far_from_the_limit_any_reading_decides():
    assert chance_to_decide(5.0, 0.5, 0.2, 1.645) == pytest.approx(1.0)
    assert chance_to_decide(-5.0, 0.5, 0.2, 1.645) == pytest.approx(1.0)


def test_without_any_doubt_the_margin_itself_decides():
    assert chance_to_decide(0.1, 0.0, 0.0, 1.645) == 1.0


def test_a_finer_reading_decides_more():
    chances = [chance_to_decide(0.8, 1.0, u, 1.645) for u in (1.0, 0.6, 0.4, 0.1)]
    assert chances == sorted(chances)


def test_chance_to_decide_by_simulation():
    """What the truth and then the new reading would be, a hundred thousand times."""
    rng = np.random.default_rng(2)
    seen = 0.7 + rng.normal(0, 0.9, 100_000) + rng.normal(0, 0.45, 100_000)
    decided = (seen < 0) | (seen >= 1.645 * 0.45)
    assert chance_to_decide(0.7, 0.9, 0.45, 1.645) == pytest.approx(decided.mean(), abs=0.005)


def test_chance_to_decide_against_scipy():
    from scipy.stats import norm

    sd = np.hypot(0.9, 0.45)
    undecided = norm.cdf(1.645 * 0.45, 0.7, sd) - norm.cdf(0.0, 0.7, sd)
    assert chance_to_decide(0.7, 0.9, 0.45, 1.645) == pytest.approx(1.0 - undecided, rel=1e-12)


def found(rule, field, severity="confirm"):
    return Finding(rule, severity, "?", field, "Survey", "A1")


def fields(*findings, conflicts=()):
    result = InstrumentResult((), conflicts=tuple(conflicts))
    return [reading.field for reading in next_readings(survey(TREBLE), result, book(), findings)]


def test_what_asks_for_a_second_look_is_settled_by_it():
    assert fields(found("implausible_span", "s3_span")) == ["s3_span"]
    assert fields(found("implausible_span", "s3_span", "note"), found("missing_reading", "s3_run", "fix")) == []


def test_no_tape_settles_what_the_papers_say():
    papers = [found("duplicate_serial", "serial"), found("needed_before_survey", "needed_by"), found("x", "unit")]
    assert fields(*papers, found("failed", None)) == []
    assert fields(*papers, found("registers_out_of_order", "s3_register")) == ["s3_register"]


def test_a_doubt_that_was_reckoned_is_not_counted_a_second_time():
    readings = next_readings(
        survey(TREBLE),
        InstrumentResult((), conflicts=(doubt("s1_room_low", "end_room_unread", {}),)),
        book(),
        [found("end_room_unread", "s1_room_low")],
    )
    assert [(reading.field, reading.settles) for reading in readings] == [("s1_room_low", 1.0)]


def test_two_findings_at_one_cell_put_that_cell_first():
    two = [found("implausible_span", "s1_span"), found("implausible_run", "s3_run"), found("other", "s3_run")]
    assert fields(*two) == ["s3_run", "s1_span"]


def test_a_block_that_passed_asks_for_a_thicker_one_while_there_is_hope():
    """Of the 1.5875 mm up to the block that did not pass, the guard is short of 0.795 mm."""
    gauged = section(number=3, register="treble", dampers=20, span_mm=SPAN, run_mm=RUN, gauge_low_mm=6.35)
    (reading,) = ranked([doubt("s3_gauge_low")], gauged)
    assert reading.settles == pytest.approx(1 - (1.645 - 0.85) / 1.5875)
    assert reading.words == "Clear gauge, low end, section 3: try a thicker block."
    assert ranked([doubt("s3_gauge_low", facts=TIGHT | {"guard_mm": 3.0})], gauged) == ()


def test_a_second_run_is_offered_where_it_sees_other_gaps():
    unclear = section(number=2, dampers=20, span_mm=SPAN, run_mm=RUN + 8.0)
    readings = {each.field: each for each in ranked([doubt("s2_span", "readings_disagree", {})], unclear)}
    assert 0.0 < readings["s2_run_end"].settles < 1.0
    assert readings["s2_run_end"].words == "Second seven-space run, section 2: measure."
    short = section(number=2, dampers=8, span_mm=106.8 + 7.0, run_mm=97.3)
    assert "s2_run_end" not in {each.field for each in ranked([doubt("s2_span", "readings_disagree", {})], short)}


def test_gaps_that_tilt_within_doubt_ask_for_both_and_for_the_missing_gauge():
    found = ranked([doubt("s3_rest_high", "rest_gaps_in_doubt", {})], replace(TREBLE, gauge_low_mm=6.35))
    assert {(reading.field, round(reading.step_mm, 3)) for reading in found} == {
        ("s3_rest_low", 0.794),
        ("s3_rest_high", 0.794),
        ("s3_gauge_high", 0.0),
    }
    assert "Gap at rest, high end, section 3: measure again to 1/32 in." in [reading.words for reading in found]


def test_a_finer_step_is_asked_for_only_where_it_settles_clearly_more():
    """Eight spaces for seven are plain at any step; a count or a head too much in twelve is not at 1/8 in."""
    off = section(number=2, dampers=12, span_mm=6.375 * 25.4, run_mm=RUN + 8.0)
    steps = {each.step_mm for each in ranked([doubt("s2_run", "readings_disagree", {})], off)}
    fine = {each.step_mm for each in ranked([doubt("s2_run", "readings_disagree", {})], off, step_mm=25.4 / 32)}
    assert fine == {0.0}
    assert steps - {0.0} <= {25.4 / 16, 25.4 / 32} and len(steps) > 1


def test_what_the_finding_names_comes_first_unless_another_reading_is_clearly_better():
    for run_mm in (RUN + 6.0, RUN + 8.0, RUN - 9.0, RUN + 20.0):
        odd = section(number=2, dampers=16, span_mm=218.0, run_mm=run_mm)
        report = diagnose(odd, survey(), book())
        found = {each.field: each.settles for each in ranked([doubt(report.field, "readings_disagree", {})], odd)}
        best = max(found, key=lambda field: found[field])
        assert best == report.field or found[best] > found[report.field] + 0.05
