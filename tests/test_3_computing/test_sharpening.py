import pytest

from railwright.computing.sharpening import finer_steps, sharper_readings, showing_a_miscount
from railwright.computing.slip_tests import power_of_count_test
from railwright.computing.spacing import posterior
from section_kit import book, section, survey

LONG = section(dampers=28, span_mm=385.0, run_mm=97.3)


@pytest.mark.parametrize(
    ("step", "unit", "finer"),
    [(3.175, "in", (1.5875, 0.79375)), (0.79375, "in", ()), (1.0, "mm", (0.5,)), (5.0, None, (1.0, 0.5))],
)
def test_finer_steps(step, unit, finer):
    assert finer_steps(step, unit) == pytest.approx(finer)


def test_in_a_long_section_a_second_run_sharpens_the_wires_most():
    best = sharper_readings(LONG, survey(), book())[0]
    assert best.field == "s2_run_end"
    assert best.u95_mm < best.before_mm
    assert best.power > best.power_before


def test_what_is_promised_is_what_comes_of_it():
    promised = {(each.field, each.step_mm): each.u95_mm for each in sharper_readings(LONG, survey(), book())}
    finer = posterior(LONG, survey(steps_mm={"s2_span": 1.5875}), book())
    assert promised["s2_span", 1.5875] == pytest.approx(finer.u95_mm.max())


def test_only_what_gains_something_is_listed():
    for each in sharper_readings(LONG, survey(), book()):
        assert each.u95_mm < each.before_mm or each.power > each.power_before


def test_no_second_run_in_eight_heads_nor_where_there_is_one():
    eight = section(dampers=8, span_mm=106.8, run_mm=97.3)
    both = section(dampers=28, span_mm=385.0, run_mm=97.3, run_end_mm=97.3)
    assert "s2_run_end" not in {each.field for each in sharper_readings(eight, survey(), book())}
    steps = {each.step_mm for each in sharper_readings(both, survey(), book()) if each.field == "s2_run_end"}
    assert steps == {1.5875, 0.79375}


def test_nothing_to_sharpen():
    assert sharper_readings(section(dampers=28), survey(), book()) == ()


def then(heads, step=3.175, unit="in", **readings):
    """What would show a miscount: whether a second run, the step of the span, and the chance."""
    one = section(dampers=heads, span_mm=9.5 + (heads - 1) * 13.9, **readings)
    found = showing_a_miscount(one, survey(unit=unit, step_mm=step), book())
    if found is None:
        return None
    there, sheet, power = found
    return there.run_end_mm is not None, sheet.step_of("s2_span"), round(power, 2)


def test_the_least_that_would_show_a_miscount():
    assert then(22, run_mm=97.3) == (True, 3.175, 0.98)
    assert then(28, run_mm=97.3) == (True, 1.5875, 0.97)
    assert then(28, run_mm=97.3, run_end_mm=97.3) == (True, 1.5875, 0.97)


def test_where_nothing_is_enough_the_best_there_is():
    assert then(34, run_mm=97.3) == (True, 0.79375, 0.87)


@pytest.mark.parametrize("heads", [5, 6, 7])
def test_too_short_for_a_run_nothing_helps(heads):
    assert then(heads) is None


@pytest.mark.parametrize(("heads", "readings"), [(8, {"run_mm": 97.3}), (34, {"run_mm": 97.3, "run_end_mm": 97.3})])
def test_never_the_same_run_twice_nor_a_step_that_does_not_help(heads, readings):
    found = then(heads, step=0.5, unit="mm", **readings)
    assert found is None or found[1] < 0.5


def test_what_is_promised_of_a_miscount_is_its_power():
    one = section(dampers=22, span_mm=301.4, run_mm=97.3)
    there, sheet, power = showing_a_miscount(one, survey(), book())
    assert power == power_of_count_test(there, sheet, book())
