import pytest

from railwright.computing.sharpening import finer_steps, showing_a_miscount
from railwright.computing.slip_tests import power_of_count_test
from section_kit import book, section, survey


@pytest.mark.parametrize(
    ("step", "unit", "finer"),
    [(3.175, "in", (1.5875, 0.79375)), (0.79375, "in", ()), (1.0, "mm", (0.5,)), (5.0, None, (1.0, 0.5))],
)
def test_finer_steps(step, unit, finer):
    assert finer_steps(step, unit) == pytest.approx(finer)


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


def test_no_miscount_to_show_where_the_section_cannot_be_tested():
    assert showing_a_miscount(section(dampers=28), survey(), book()) is None
