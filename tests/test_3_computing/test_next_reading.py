import numpy as np
import pytest

from railwright.computing.next_reading import chance_to_decide, next_readings
from railwright.computing.results import Conflict, InstrumentResult
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
