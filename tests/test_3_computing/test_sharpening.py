import pytest

from railwright.computing.sharpening import finer_steps, sharper_readings
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
